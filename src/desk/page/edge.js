// The book's edge as the hand meets it: the closed book upright, its leaves from the front at the left to
// the back at the right, and the ribbons that hang out of it.

import { s } from "./draw.js";
import { t } from "./words.js";

const WIDTH = 640, LEFT = 26, RIGHT = 614, TOP = 40, BOTTOM = 132;
const APART = 80;

/** x of each ribbon's end: as near its leaf as the width of the labels allows. */
function spread(wanted) {
  const order = wanted.map((x, i) => [x, i]).sort((a, b) => a[0] - b[0]);
  const ends = order.map(([x]) => Math.min(Math.max(x, LEFT + 10), RIGHT - 10));
  for (let round = 0; round < 60; round++) {
    for (let i = 1; i < ends.length; i++) {
      const lack = APART - (ends[i] - ends[i - 1]);
      if (lack > 0.1) { ends[i] += lack / 2; ends[i - 1] -= lack / 2; }
    }
    ends[0] = Math.max(ends[0], LEFT + 6);
    ends[ends.length - 1] = Math.min(ends[ends.length - 1], RIGHT - 6);
  }
  const at = [];
  order.forEach(([, i], rank) => { at[i] = ends[rank]; });
  return at;
}

/** The picture of one book's edge. */
export function edge(book) {
  const x = (share) => LEFT + 8 + share * (RIGHT - LEFT - 16);
  const from = book.ribbons.map((r) => x(r.at));
  const to = spread(from);
  const leaves = [];
  for (let i = 1; i < 42; i++) {
    const at = LEFT + 8 + (i / 42) * (RIGHT - LEFT - 16);
    leaves.push(s("line", { class: "leaf", x1: at, x2: at, y1: TOP + 3 + (i % 3), y2: BOTTOM - 3 + (i % 2) }));
  }
  const said = book.ribbons.map((r) => t("ribbonAt", r.ribbon, r.page)).join("; ");
  return s("svg", { class: "edge", viewBox: `0 0 ${WIDTH} 226`, role: "img", "aria-label": `${t("edgeOf", book.book)} ${said}` },
    s("path", { class: "board", d: `M${LEFT} ${TOP - 8}h9v${BOTTOM - TOP + 14}h-9q-7-3-7-10v-${BOTTOM - TOP - 6}q0-7 7-8z` }),
    s("path", { class: "board", d: `M${RIGHT} ${TOP - 8}h-9v${BOTTOM - TOP + 14}h9q7-3 7-10v-${BOTTOM - TOP - 6}q0-7-7-8z` }),
    s("rect", { class: "block", x: LEFT + 8, y: TOP, width: RIGHT - LEFT - 16, height: BOTTOM - TOP }),
    leaves,
    book.open && s("g", {},
      s("path", { class: "opened", d: `M${x(book.open[0]) - 7} ${TOP - 3}h14l-7 ${BOTTOM - TOP - 34}z` }),
      s("text", { class: "small", x: Math.min(Math.max(x(book.open[0]), 90), WIDTH - 90), y: TOP - 13, "text-anchor": "middle" }, t("openAt", book.open[1]))),
    book.ribbons.map((r, i) => ribbon(r, from[i], to[i], i)),
    book.ribbons.map((r, i) => s("text", { class: "number", x: to[i], y: 219, "text-anchor": "middle" }, r.page + (r.doubt ? "?" : ""))));
}

function ribbon(r, from, to, i) {
  const half = 5, end = 190 - (i % 2) * 5, bend = BOTTOM + 26;
  const d = `M${from - half} ${TOP + 8}V${BOTTOM}C${from - half} ${bend} ${to - half} ${bend - 8} ${to - half} ${end - 14}V${end}l${half}-6 ${half} 6V${end - 14}C${to + half} ${bend - 8} ${from + half} ${bend} ${from + half} ${BOTTOM}V${TOP + 8}z`;
  return s("path", { class: r.dye ? "ribbon" : "ribbon plain", d, fill: r.dye });
}
