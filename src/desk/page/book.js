// The books: begun, photographed, reviewed, listed, compared, given away.

import { at, begin, change, get, remove, send, sendFile } from "./ask.js";
import { choose, h, put, tick } from "./draw.js";
import * as review from "./review.js";
import { ribbonsOf } from "./ribbons.js";
import { t } from "./words.js";

const LEAVES = ["photographs", "review", "pages", "ribbons", "compare", "share"];

export async function show(main, [file, leaf], here) {
  await here.look();
  const book = here.desk.books.find((b) => b.file === file);
  if (!book) return shelf(here);
  here.book = book.file;
  const at = LEAVES.includes(leaf) ? leaf : book.known ? "review" : "photographs";
  const shown = { photographs, review: review.show, pages, ribbons: (b) => section("ribbons", t("ribbonsOf"), ribbonsOf(b, here)), compare, share }[at];
  return h("article", { class: "book" },
    h("header", { class: "title" }, h("p", { class: "when" }, h("a", { href: "#book" }, t("books"))), h("h1", {}, book.name), counts(book)),
    h("nav", { class: "leaves-of", "aria-label": book.name }, LEAVES.map((l) => h("a", { id: `leaf-${l}`, href: `#book/${book.file}/${l}`, "aria-current": l === at ? "page" : null }, t(l)))),
    await shown(book, here));
}

/** Once the view stands on the page. */
export function shown(here) {
  review.shown(here);
}

function section(id, heading, ...children) {
  return h("section", { class: id, "aria-labelledby": id }, h("h2", { id }, heading), children);
}

function counts(book) {
  return h("p", { class: "particulars" }, [t("known", book.known), t("inDoubt", book.doubtful), `${book.ribbons.length} ${t("ribbons").toLowerCase()}`].join(" · "));
}

function shelf(here) {
  const books = here.desk.books.map((b) => h("li", {}, h("h2", {}, h("a", { href: `#book/${b.file}` }, b.name)), counts(b)));
  return h("article", { class: "shelf" }, h("header", { class: "title" }, h("h1", {}, t("books"))),
    books.length > 0 && h("ul", { class: "books" }, books), away(here), beginning(here));
}

/** The books that are put away, each to be brought back. */
function away(here) {
  const back = (file) => async () => (await here.attempt(() => change(at(["books", file, "back"]), {}))) && here.show();
  return here.desk.away.length > 0 && section("away", t("away"), h("ul", {}, here.desk.away.map((file) => h("li", {}, file, " ",
    h("button", { type: "button", class: "quiet", onclick: back(file), "aria-label": `${t("bringBack")}: ${file}` }, t("bringBack"))))));
}

function beginning(here) {
  const kinds = [...here.desk.outlines, "none"].map((value) => ({ value, text: t("outlines")[value] ?? value }));
  const languages = Object.entries(t("languages")).map(([value, text]) => ({ value, text }));
  let outline = kinds[0].value, language = here.lang === "es" ? "es" : "en";
  const name = h("input", { id: "book-name", required: true, maxlength: 60, autocomplete: "off", "aria-describedby": "book-name-note" });
  const go = async (event) => {
    event.preventDefault();
    const made = await here.attempt(() => begin(at(["books", name.value.trim()]), { outline: outline === "none" ? null : outline, language }));
    if (made) here.go(`book/${made.file}/photographs`);
  };
  return section("new-book", t("newBook"), h("form", { onsubmit: go },
    h("div", { class: "field" }, h("label", { for: "book-name" }, t("bookName")), name, h("p", { class: "note", id: "book-name-note" }, t("bookNameNote"))),
    choose("kind", t("kind"), kinds, outline, (v) => { outline = v; }), choose("printed", t("printedIn"), languages, language, (v) => { language = v; }),
    h("button", { class: "chief", id: "begin" }, t("begin"))), importing(here));
}

function importing(here) {
  const name = h("input", { id: "import-name", maxlength: 60, autocomplete: "off" });
  const take = async (event) => {
    const [chosen] = event.target.files;
    if (!chosen) return;
    const made = await here.attempt(() => sendFile(at(["books", name.value.trim() || chosen.name.replace(/(-pages)?\.json$/, ""), "import"]), chosen));
    if (made) here.go(`book/${made.file}/review`);
  };
  return h("details", {}, h("summary", {}, t("importIt")), h("p", { class: "note" }, t("importNote")),
    h("div", { class: "field" }, h("label", { for: "import-name" }, t("importName")), name),
    h("div", { class: "field" }, h("label", { for: "import-file" }, t("importIt")), h("input", { type: "file", id: "import-file", accept: ".json,application/json", onchange: take })));
}

// ── Photographs ──

async function photographs(book, here) {
  const list = h("div", { id: "photographs-list" });
  const path = ["books", book.file, "photographs"];
  const sending = new Map();
  const sendAll = async (files) => {
    for (const file of files) sending.set(file.name, file);
    for (const file of files) {
      draw(await here.attempt(() => send(at([...path, file.name]), file)));
      sending.delete(file.name);
    }
    draw(await here.attempt(() => get(at(path))));
    document.getElementById("read")?.focus();
  };
  const draw = (found) => found && put(list, progress(found));
  const progress = (found) => {
    const { files, busy } = found;
    const waits = files.filter((f) => f.state === "waiting"), done = files.filter((f) => f.state === "read" || f.state === "refused");
    return [
      files.length > 0 && h("ul", { class: "photos" }, files.map((f) => photo(f, busy))),
      found.failed && h("p", { class: "refused" }, found.failed.said, ". ", found.failed.hint),
      busy && h("div", {}, h("label", { for: "done" }, t("readingNow", done.length, files.length)), h("progress", { id: "done", max: files.length, value: done.length })),
      !busy && waits.length > 0 && h("button", { type: "button", class: "chief", id: "read", onclick: read }, t("readThem", waits.length)),
      !busy && done.length > 0 && !waits.length && h("p", {}, t("readAll"), " ", h("a", { class: "chief", id: "to-review", href: `#book/${book.file}/review` }, t("toReview"))),
      found.read.length > 0 && h("details", { id: "of-book" }, h("summary", {}, t("ofBook", found.read.length)), h("ul", { class: "photos" }, found.read.map((p) => ofBook(p, busy)))),
    ];
  };
  const ofBook = (p, busy) => {
    const there = at(["books", book.file, "read", p.photo]);
    const then = (work) => async () => { draw(await here.attempt(work)); await here.look(); };
    return h("li", { class: "read" }, h("span", { class: "name" }, p.photo), " ", h("span", { class: "state" }, t("readDone", p.entries, 0)),
      !busy && h("button", { type: "button", class: "quiet", onclick: then(() => remove(there)), "aria-label": `${t("takeAway")}: ${p.photo}` }, t("takeAway")),
      !busy && p.kept && h("button", { type: "button", class: "quiet", onclick: then(() => change(there, {})), "aria-label": `${t("readAgain")}: ${p.photo}` }, t("readAgain")));
  };
  const photo = (f, busy) => h("li", { class: f.state }, h("span", { class: "name" }, f.file), " ",
    h("span", { class: "state" }, f.state === "read" ? t("readDone", f.entries, f.doubtful) : t(f.state)),
    f.error && h("p", {}, f.error.said, ". ", f.error.hint), f.notices?.map((n) => h("p", { class: "note" }, n)),
    f.state === "waiting" && !busy && h("button", { type: "button", class: "quiet", onclick: async () => draw(await here.attempt(() => remove(at([...path, f.file])))) }, t("putBack")));
  const watch = async () => {
    const found = await here.attempt(() => get(at(path)));
    if (!found || !list.isConnected) return;
    draw(found);
    here.tell(found.busy ? t("readingNow", found.files.filter((f) => f.state === "read" || f.state === "refused").length, found.files.length) : t("readAll"));
    if (found.busy) return setTimeout(watch, 400);
    await here.look();
    document.getElementById("to-review")?.focus();
  };
  const read = async () => {
    const begun = await here.attempt(() => change(at(["books", book.file, "read"]), {}));
    if (begun) { draw(begun); watch(); }
  };
  const input = (id, label, capture) => [
    h("input", { type: "file", id, class: "unseen", accept: "image/*,.heic,application/pdf", multiple: !capture, capture: capture && "environment", onchange: (e) => { const files = [...e.target.files]; e.target.value = ""; sendAll(files); } }),
    h("label", { for: id, class: "button" }, label)];
  const over = (on) => (event) => { event.preventDefault(); event.currentTarget.classList.toggle("over", on); };
  const drop = (event) => { over(false)(event); sendAll([...event.dataTransfer.files]); };
  const found = await get(at(path));
  draw(found);
  if (found.busy) setTimeout(watch, 100);
  return section("photographs", t("photographs"), h("p", { class: "note" }, t("photosNote")),
    h("div", { class: "drop", ondragover: over(true), ondragleave: over(false), ondrop: drop }, input("take", t("takePhoto"), true), input("photos", t("choosePhotos"), false), h("span", { class: "drop-here" }, t("dropHere"))),
    list);
}

// ── Pages ──

/** The pages among which a text lies that nobody read: never one page. */
function about(e) {
  const [first, last] = e.interval ?? [e.page, e.page];
  return first === last ? `≈ ${first}` : `≈ ${first}–${last}`;
}

async function pages(book, here) {
  const whole = await get(at(["books", book.file]));
  const list = h("tbody"), count = h("p", { class: "note", role: "status" });
  const draw = (find) => {
    const words = find.toLowerCase().split(/\s+/).filter(Boolean);
    const entries = whole.entries.filter((e) => (words.length || e.state !== "absent") && words.every((w) => `${e.title} ${e.place} ${e.page ?? ""}`.toLowerCase().includes(w)));
    count.textContent = t("shown", entries.length);
    put(list, entries.map((e) => h("tr", { class: e.state }, h("td", { class: "page" }, e.state === "estimated" && e.page ? about(e) : e.page ?? "–"),
      h("td", { class: `level-${Math.min(e.level, 5)}` }, h("a", { href: `#book/${book.file}/review/${e.place.replaceAll("/", "~")}` }, e.title)),
      h("td", { class: "state" }, t("states")[e.state], e.interval && e.state === "doubtful" && ` ${e.interval[0]}–${e.interval[1]}`))));
  };
  draw("");
  return section("pages", t("pages"),
    h("div", { class: "field" }, h("label", { for: "find" }, t("find")), h("input", { type: "search", id: "find", oninput: (e) => draw(e.target.value) })), count,
    whole.notices.length > 0 && h("details", {}, h("summary", {}, t("look"), ` (${whole.notices.length})`), h("ul", {}, whole.notices.map((n) => h("li", {}, n)))),
    h("table", { class: "map" }, h("thead", { class: "unseen" }, h("tr", {}, [t("page"), t("texts"), t("review")].map((x) => h("th", { scope: "col" }, x)))), list));
}

// ── Two editions ──

async function compare(book, here) {
  const others = here.desk.books.filter((b) => b.file !== book.file);
  if (!others.length) return section("compare", t("compare"), h("p", {}, t("oneBook")));
  let other = others[0].file, onlyDiffering = true;
  const table = h("div");
  const draw = async () => {
    const pairs = await here.attempt(() => get(at(["books", book.file, "compare", other])));
    if (!pairs) return;
    const known = (k) => (k ? k.page + (["read", "confirmed", "estimated"].includes(k.state) ? "" : "?") : "–");
    const rows = pairs.filter((p) => !onlyDiffering || p.old?.page !== p.new?.page);
    const name = others.find((b) => b.file === other).name;
    put(table, h("p", { class: "note", role: "status" }, t("shown", rows.length)),
      h("table", { class: "map" }, h("thead", {}, h("tr", {}, [book.name, name, ""].map((x, i) => h(i < 2 ? "th" : "td", i < 2 ? { scope: "col" } : {}, x)))),
        h("tbody", {}, rows.map((p) => h("tr", {}, h("td", { class: "page" }, known(p.old)), h("td", { class: "page" }, known(p.new)), h("td", {}, p.title))))));
  };
  const carry = async () => {
    const left = await here.attempt(() => change(at(["books", book.file, "compare", other]), {}));
    if (left) here.tell([t("carried"), ...left.map((l) => t("staysBehind", l.mark, l.why))].join(" "));
  };
  await draw();
  return section("compare", t("compare"),
    choose("other", t("compareWith"), others.map((b) => ({ value: b.file, text: b.name })), other, (v) => { other = v; draw(); }),
    tick("differing", t("differ"), onlyDiffering, (on) => { onlyDiffering = on; draw(); }), table,
    h("p", {}, h("button", { type: "button", onclick: carry }, t("carry"))));
}

function share(book, here) {
  return section("share", t("share"), h("p", {}, h("a", { class: "button", href: at(["books", book.file, "export"]), download: "" }, t("exportIt"))), h("p", { class: "note" }, t("exportNote")), importing(here), naming(book, here));
}

/** Another name, or out of the way for a while. */
function naming(book, here) {
  const name = h("input", { id: "new-name", value: book.name, required: true, maxlength: 60, autocomplete: "off" });
  const rename = async (event) => {
    event.preventDefault();
    const named = await here.attempt(() => change(at(["books", book.file, "rename"]), { to: name.value.trim() }));
    if (named) here.go(`book/${named.file}/share`);
  };
  const putAway = async () => (await here.attempt(() => change(at(["books", book.file, "away"]), {}))) && here.go("book");
  return h("div", {}, h("form", { onsubmit: rename }, h("div", { class: "field" }, h("label", { for: "new-name" }, t("bookName")), name), h("button", { id: "rename" }, t("rename"))),
    h("p", {}, h("button", { type: "button", id: "put-away", onclick: putAway }, t("putAway"))), h("p", { class: "note" }, t("putAwayNote")));
}
