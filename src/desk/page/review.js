// The review: one text at a time, the print it was read from beside its page; Enter confirms and goes on.

import { at, change, get } from "./ask.js";
import { h, put } from "./draw.js";
import { t } from "./words.js";

const box = { book: null, found: null, later: [], looks: null, asked: false };
/** How long nobody types before the longer computation is asked for, in ms. */
const PAUSE = 1500;

/** The review of a book; `place` (with ~ for /) is looked at first. */
export async function show(book, here) {
  const place = decodeURIComponent(location.hash).split("/")[3]?.replaceAll("~", "/");
  box.book = book.file;
  box.later = [];
  box.looks = box.current = null;
  box.found = await get(at(["books", book.file, "review"], { lang: here.lang, place }));
  box.here = here;
  return h("section", { class: "review", "aria-label": t("review"), onkeydown: keys }, h("div", { id: "review" }, drawn()));
}

/** Once it stands on the page: the cursor is in the field. */
export function shown() {
  focus();
}

function focus() {
  const field = document.getElementById("page");
  field?.focus({ preventScroll: innerWidth > 700 });
  field?.select();
}

/** The rows that are left: the one looked at, then those that teach most, those put off for later last. */
function rows() {
  const best = box.looks?.steps === box.found.steps ? box.looks.best : [];
  const rank = (r) => {
    if (box.later.includes(r.place)) return 1000 + box.later.indexOf(r.place);
    if (r.place === box.current) return -1;
    return best.includes(r.place) ? best.indexOf(r.place) : 999;
  };
  return [...box.found.queue].sort((a, b) => rank(a) - rank(b));
}

/** When nobody types: how many looks are left, and which teach most. */
function ponder() {
  clearTimeout(box.timer);
  const { steps } = box.found;
  box.timer = setTimeout(async () => {
    const looks = await get(at(["books", box.book, "looks"])).catch(() => null);
    const stands = document.getElementById("review");
    if (!looks || looks.steps !== box.found.steps || box.found.steps !== steps || !stands) return;
    box.looks = looks;
    put(document.getElementById("left"), left());
    const then = document.getElementById("then");
    if (then) put(then, upNext(rows().slice(1)));
  }, PAUSE);
}

function left() {
  const { found, looks } = box;
  return looks?.steps === found.steps ? t("looksLeft", looks.left, looks.more) : t("looksAtMost", found.unsafe_texts);
}

const upNext = (rest) => rest.slice(0, 6).map((r) => h("li", {}, h("span", { class: "page" }, r.page ?? "–"), " ", r.title));

function drawn() {
  const { found, here } = box;
  const [row, ...rest] = rows();
  box.current = row?.place;
  const safe = h("p", { class: "left", id: "left" }, left());
  ponder();
  const undo = (found.last || found.next) && h("p", { class: "row" },
    found.last && h("button", { type: "button", class: "quiet", id: "undo", onclick: () => go("undo") }, t("undoWhat", found.last)),
    found.next && h("button", { type: "button", class: "quiet", id: "redo", onclick: () => go("redo") }, t("redoWhat", found.next)));
  if (!row) return [safe, h("p", { class: "done" }, t("allDone")), undo, h("p", {}, h("a", { class: "chief", id: "to-today", href: `#today/${here.desk.sunday}` }, t("toSunday")))];
  return [safe, current(row), undo, found.moved?.length > 0 && moved(found.moved),
    rest.length > 0 && h("div", { class: "then" }, h("h3", {}, t("nextUp")), h("ol", { id: "then" }, upNext(rest)))];
}

function current(row) {
  const send = (event) => { event.preventDefault(); answer(row, document.getElementById("page").value.trim()); };
  const beside = (b, key) => b && h("li", {}, t(key, b.title, b.page));
  const about = row.interval && row.interval[0] !== row.interval[1] && t("between", row.interval[0], row.interval[1]);
  return h("form", { class: "look-up", onsubmit: send, "data-place": row.place },
    h("p", { class: "count" }, t("rowOf", box.found.queue.length)), h("p", { class: "above" }, row.above.join(" › ")), h("h2", {}, row.title),
    strips(row),
    h("div", { class: "answer" }, h("label", { for: "page" }, t("pageField")),
      h("input", { id: "page", value: row.page ?? "", inputmode: "numeric", autocomplete: "off", autocapitalize: "off", spellcheck: "false", size: 6, "aria-describedby": "about" }),
      h("button", { class: "chief", id: "confirm" }, t("confirm")),
      h("button", { type: "button", id: "not-in-book", onclick: () => answer(row, "–") }, t("notInBook")),
      h("button", { type: "button", id: "later", onclick: () => later(row) }, t("later"))),
    h("p", { id: "about", class: "note" }, [t("states")[row.state], about].filter(Boolean).join(", ")),
    h("ul", { class: "beside" }, beside(row.before, "beforeIt"), beside(row.after, "afterIt")),
    h("dl", { class: "keys" }, t("keys").map(([key, does]) => h("div", {}, h("dt", {}, h("kbd", {}, key)), h("dd", {}, does)))));
}

function strips(row) {
  if (!row.strips.length) return h("p", { class: "unread" }, t("unread"));
  const picture = (s) => at(["books", box.book, "strip"], { place: row.place, reading: s.reading });
  return row.strips.map((s) => h("figure", { class: "strip" },
    s.kept ? h("img", { src: picture(s), alt: t("stripOf", s.title, s.pages[0] ?? "–") }) : h("p", { class: "unread" }, t("stripGone")),
    h("figcaption", {}, t("readAs", s.pages.slice(0, 3).join(" / ") || "–"), s.kept && [" · ", h("a", { href: `${picture(s)}&whole=true`, target: "_blank" }, t("wholePhoto"))])));
}

function moved(list) {
  const settled = list.filter((m) => m.settled).length;
  return h("details", { class: "moved" }, h("summary", {}, t("moved", list.length, settled)),
    h("ul", {}, list.slice(0, 40).map((m) => h("li", {}, h("span", { class: "page" }, `${m.from ?? "–"} → ${m.to ?? "–"}`), " ", m.title))));
}

function draw(found) {
  box.current = null;
  box.found = found;
  put(document.getElementById("review"), drawn());
  focus();
}

const path = (what) => at(["books", box.book, what], { lang: box.here.lang });

/** What was typed of a text is sent; a dash says that the book has it not. */
async function answer(row, typed, before = row.said, sure = false) {
  const said = ["-", "–", "—"].includes(typed) ? "absent" : { page: typed };
  const { here } = box;
  // A key pressed twice must not say the same twice.
  if (box.asked) return;
  box.asked = true;
  try {
    const found = await change(path("word"), { place: row.place, said, before, sure });
    here.calm();
    draw(found);
    here.tell([t("isOn", row.title, said === "absent" ? t("states").absent : typed), found.moved && t("moved", found.moved.length, found.moved.filter((m) => m.settled).length)].filter(Boolean).join(" "));
  } catch (error) {
    if (error.ask) return here.ask(error.message, () => answer(row, typed, before, true), focus);
    if (error.status !== 409) { here.refuse(error); return focus(); }
    const words = (v) => (v === null || v === undefined ? t("nothing") : v === "absent" ? t("states").absent : v.page);
    const again = () => get(at(["books", box.book, "review"], { lang: here.lang })).then(draw);
    here.conflict(words(said), words(error.theirs), () => answer(row, typed, error.theirs), again);
  } finally {
    box.asked = false;
  }
}

function later(row) {
  box.current = null;
  box.later = [...box.later.filter((p) => p !== row.place), row.place];
  draw({ ...box.found, moved: [] });
}

/** One step back ("undo") or forth ("redo"). */
async function go(way, sure = false) {
  const { here } = box;
  try {
    const found = await change(path(way), { steps: box.found.steps, sure });
    here.calm();
    draw(found);
    here.tell(t(way === "undo" ? "undone" : "redone"));
  } catch (error) {
    if (error.ask) return here.ask(error.message, () => go(way, true), focus);
    if (error.status !== 409 || !("theirs" in error)) return here.refuse(error);
    const fresh = async () => draw(await get(at(["books", box.book, "review"], { lang: here.lang })));
    here.conflict(box.found.last ?? "–", error.theirs ?? "–", fresh, fresh);
  }
}

function keys(event) {
  const field = document.getElementById("page");
  if (event.key === "Escape") {
    const [row] = rows();
    if (row) later(row);
  } else if (["z", "Z", "y"].includes(event.key) && (event.ctrlKey || event.metaKey) && (event.target !== field || field.value === field.defaultValue || field.value === rows()[0]?.page)) {
    event.preventDefault();
    go(event.key === "z" && !event.shiftKey ? "undo" : "redo");
  }
}
