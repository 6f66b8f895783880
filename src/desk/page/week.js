// The coming Masses and which ribbons move between them.

import { at, get } from "./ask.js";
import { h, swatch } from "./draw.js";
import { edge } from "./edge.js";
import { t } from "./words.js";

export async function show(main, [date = null], here) {
  const first = date ?? here.desk.today;
  const week = await get(at(["week", first], { lang: here.lang, book: here.book }));
  const shift = (days) => {
    const moved = new Date(`${first}T12:00:00Z`);
    moved.setUTCDate(moved.getUTCDate() + days);
    return moved.toISOString().slice(0, 10);
  };
  return h("article", { class: "week" },
    h("div", { class: "dates" },
      h("a", { class: "step", href: `#week/${shift(-7)}`, "aria-label": t("weekBefore") }, "‹"),
      h("div", { class: "whichday" }, h("a", { href: `#week/${here.desk.today}` }, t("thisWeek")), h("a", { href: `#week/${here.desk.sunday}` }, t("toSunday"))),
      h("a", { class: "step", href: `#week/${shift(7)}`, "aria-label": t("weekAfter") }, "›")),
    h("header", { class: "title" }, h("h1", {}, t("week")), week.book && h("p", { class: "particulars" }, week.book, week.masses.some((m) => m.edges.length) && ` · ${t("weekNote", week.moved, week.moved_one_by_one)}`)),
    week.trouble && h("section", { class: "newcomer" }, h("p", {}, week.trouble.said, "."), h("a", { href: here.book ? `#book/${here.book}/ribbons` : "#book" }, t("ribbons"))),
    !week.book && h("section", { class: "newcomer" }, h("p", {}, t("noBook")), h("a", { class: "chief", href: "#book" }, t("beginBook"))),
    h("ol", { class: "masses" }, week.masses.map((m, i) => mass(m, i))),
    week.book && h("p", { class: "printing row" }, h("button", { type: "button", class: "chief", onclick: () => print() }, t("print")),
      week.masses.some((m) => m.edges.length) && h("a", { href: at(["week", first, "sheet.pdf"], { lang: here.lang, book: here.book }), target: "_blank" }, t("sheet"))),
    h("p", { class: "caution" }, week.caution));
}

const listed = (names) => (names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} ${t("and")} ${names.at(-1)}`);

function mass(m, i) {
  const task = m.moved.length ? (i ? t("move", listed(m.moved)) : t("lay", listed(m.moved))) : t("stay");
  const ribbon = (r) => h("li", { class: m.moved.includes(r.ribbon) ? "moves" : "stays" }, swatch(r.dye), h("span", { class: "page" }, r.page, r.doubt && "?"), h("span", { class: "text" }, r.text));
  return h("li", { class: m.colour },
    h("div", { class: "day" }, h("p", { class: "when" }, m.words, m.evening && ` · ${t("evening")}`), h("h2", {}, h("a", { href: `#today/${m.date}${m.evening ? "/evening" : ""}` }, m.celebration)),
      h("p", { class: "particulars" }, h("span", { class: `vestment ${m.colour}`, "aria-hidden": "true" }), m.particulars)),
    m.edges.length > 0 && h("div", { class: "lay" }, h("p", { class: m.moved.length ? "task" : "task still" }, task), h("ul", { class: "laid" }, m.edges.flatMap((e) => e.ribbons).map(ribbon)),
      m.look.length > 0 && h("details", {}, h("summary", {}, t("look"), ` (${m.look.length})`), h("ul", {}, m.look.map((n) => h("li", {}, n))))),
    m.edges.length > 0 && h("div", {}, m.edges.map(edge)));
}
