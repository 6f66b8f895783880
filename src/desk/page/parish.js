// The parish: calendar, title and patron, books, the priest's habits. Everything is kept as it is changed.

import { at, change, get, sendFile } from "./ask.js";
import { choose, h, put, tick } from "./draw.js";
import { t } from "./words.js";

export async function show(main, _, here) {
  const found = await get(at(["parish"], { lang: here.lang }));
  const all = await get(at(["choices"], { lang: here.lang }));
  return h("article", { class: "parish" },
    h("header", { class: "title" }, h("h1", {}, t("parish")), h("p", { class: "particulars" }, t("parishNote"))),
    names(found, here), calendar(found, here), own(found, here), books(found, here), habits(found, here, all), settled(found, here));
}

/** Keeps one field; `at` is its pointer. */
async function keep(here, found, pointer, value) {
  const before = pointer.split("/").slice(1).reduce((v, k) => v?.[k], found.parish) ?? null;
  const save = (was) => change("/api/parish", { at: pointer, before: was, value });
  try {
    await save(before);
  } catch (error) {
    if (error.status !== 409 || error.theirs === undefined) { here.refuse(error); return here.show(); }
    const say = (v) => (v === null ? t("nothing") : String(v));
    return here.conflict(say(value), say(error.theirs), () => here.attempt(() => save(error.theirs)).then(here.show), here.show);
  }
  here.calm();
  await here.look();
  await here.show();
  here.tell(t("saved"));
}

const section = (id, heading, ...children) => h("section", { class: id, "aria-labelledby": id }, h("h2", { id }, heading), children);

function names(found, here) {
  return h("section", {}, h("div", { class: "field" }, h("label", { for: "parish-name" }, t("parishName")),
    h("input", { id: "parish-name", value: found.parish.name, maxlength: 80, onchange: (e) => keep(here, found, "/name", e.target.value.trim()) })));
}

async function keepOwn(here, found, value) {
  const save = (before) => change("/api/parish/own", { before, value, lang: here.lang });
  try {
    await save(found.own);
  } catch (error) {
    if (error.status !== 409 || !error.theirs) { here.refuse(error); return here.show(); }
    const say = (own) => `${own.over} (${own.celebrations.length})`;
    return here.conflict(say(value), say(error.theirs), () => here.attempt(() => save(error.theirs)).then(here.show), here.show);
  }
  here.calm();
  await here.show();
  here.tell(t("saved"));
}

function calendar(found, here) {
  const kinds = ["general", "region", "nation", "diocese", "order", "parish"];
  const sorted = [...found.calendars].sort((a, b) => kinds.indexOf(a.kind) - kinds.indexOf(b.kind) || a.title.localeCompare(b.title));
  const take = (event) => here.attempt(() => sendFile(at(["parish", "layer"], { lang: here.lang }), event.target.files[0])).then((done) => done && here.show());
  return section("calendar", t("calendar"),
    choose("over", t("over"), sorted.map((c) => ({ value: c.name, text: c.title })), found.own.over, (over) => keepOwn(here, found, { ...found.own, over })),
    h("details", { id: "add-layer" }, h("summary", {}, t("addLayer")), h("p", { class: "note" }, t("layerNote")), h("label", { for: "layer" }, t("addLayer")), h("input", { type: "file", id: "layer", accept: ".json,application/json", onchange: take })));
}

function own(found, here) {
  const list = found.own.celebrations;
  const named = (c) => c.title ?? found.titles[c.id] ?? c.id;
  const line = (c, i) => h("li", {}, h("b", {}, named(c)), ` · ${t("roles")[c.role]} · ${c.day} ${t("months")[c.month - 1]} `,
    h("button", { type: "button", class: "quiet", onclick: () => keepOwn(here, found, { ...found.own, celebrations: list.filter((_, n) => n !== i) }) }, t("takeAway")));
  return section("own", t("own"), list.length > 0 && h("ul", {}, list.map(line)), adding(found, here));
}

function adding(found, here) {
  const made = { role: "title of the church", month: 1, day: 1, id: null, title: null, colour: "white" };
  const which = h("div", { class: "which" });
  const ask = async () => {
    const there = (await here.attempt(() => get(at(["parish", "on", String(made.month), String(made.day)], { lang: here.lang })))) ?? [];
    made.id = there[0]?.id ?? null;
    const title = h("input", { id: "own-title", maxlength: 120, onchange: (e) => { made.title = e.target.value.trim(); } });
    const own = h("div", { class: "field" }, h("label", { for: "own-title" }, t("itsTitle")), title);
    own.hidden = made.id !== null;
    put(which, choose("own-which", t("onThatDay"), [...there.map((c) => ({ value: c.id, text: c.title })), { value: "", text: t("another") }], made.id ?? "", (id) => { made.id = id || null; own.hidden = id !== ""; }), own);
  };
  const add = (event) => {
    event.preventDefault();
    const title = made.id ? null : document.getElementById("own-title").value.trim();
    keepOwn(here, found, { ...found.own, celebrations: [...found.own.celebrations, { ...made, title }] });
  };
  const roles = Object.entries(t("roles")).map(([value, text]) => ({ value, text }));
  const months = t("months").map((text, i) => ({ value: String(i + 1), text }));
  const days = Array.from({ length: 31 }, (_, i) => ({ value: String(i + 1), text: String(i + 1) }));
  return h("details", { id: "add-own", ontoggle: (e) => e.target.open && !which.children.length && ask() }, h("summary", {}, t("addOwn")), h("form", { onsubmit: add },
    choose("own-role", t("role"), roles, made.role, (v) => { made.role = v; }),
    h("div", { class: "row" }, choose("own-day", t("day"), days, "1", (v) => { made.day = Number(v); ask(); }), choose("own-month", t("month"), months, "1", (v) => { made.month = Number(v); ask(); })),
    which, h("button", {}, t("add"))));
}

function books(found, here) {
  const { books } = here.desk;
  return section("of-parish", t("books"),
    h("ul", { class: "books" }, books.map((b) => h("li", {}, h("a", { href: `#book/${b.file}/ribbons` }, b.name), ` · ${b.ribbons.map((r) => r.colour).join(", ") || t("nothing")}`))),
    h("p", {}, h("a", { href: "#book" }, t("newBook"))),
    books.length > 1 && choose("chair-book", t("chairBook"), [{ value: "", text: t("oneBookOnly") }, ...books.map((b) => ({ value: b.file, text: b.name }))], found.parish.settings.chair_book ?? "", (v) => keep(here, found, "/settings/chair_book", v || null)));
}

function habits(found, here, all) {
  const now = found.parish.settings;
  const set = (field) => (value) => keep(here, found, `/settings/${field}`, value);
  const prayers = all.prayers.map((p) => ({ value: p.place, text: p.title }));
  const entries = (key) => Object.entries(t(key)).map(([value, text]) => ({ value, text }));
  const box = (field, label) => tick(field, label, now[field], set(field));
  const liked = [{ value: "", text: t("none") }, ...all.prefaces.map((p) => ({ value: p.place, text: p.title }))];
  return section("habits", t("habits"),
    h("div", { class: "many" }, choose("sunday_prayer", t("sundayPrayer"), prayers, now.sunday_prayer, set("sunday_prayer")),
    choose("weekday_prayer", t("weekdayPrayer"), prayers, now.weekday_prayer, set("weekday_prayer")),
    choose("penitential", t("penitential"), entries("penitentials"), now.penitential, set("penitential")),
    choose("sprinkling", t("whenSprinkling"), entries("ons"), now.sprinkling, set("sprinkling")),
    choose("solemn_blessing", t("whenBlessing"), entries("ons"), now.solemn_blessing, set("solemn_blessing")),
    choose("memorial_prayers", t("memorialPrayers"), entries("memorials"), now.memorial_prayers, set("memorial_prayers")),
    choose("closing", t("closing"), entries("stands"), now.closing, set("closing")),
    choose("liked", t("likes"), liked, now.prefaces[0] ?? "", (v) => set("prefaces")(v ? [v, ...now.prefaces.slice(1).filter((p) => p !== v)] : now.prefaces.slice(1)))),
    h("div", { class: "many" }, box("nearest_preface", t("nearestPreface")), box("sung_preface", t("sungPreface")), box("sung_prayer", t("sungPrayer")),
    box("lent_weekday_prayer_over_people", t("lentPeople")), box("antiphons", t("antiphons")), box("universal_prayer", t("universal-prayer"))),
    h("fieldset", {}, h("legend", {}, t("knownByHeart")), h("div", { class: "many" }, byTitle(all.moments).map((same) => byHeart(same, now, here, found)))));
}

function byTitle(moments) {
  const titles = [...new Set(moments.map((m) => m.title))];
  return titles.map((title) => moments.filter((m) => m.title === title));
}

/** Moments of one title are known by heart usually, or by this priest; what differs from the usual is kept. */
function byHeart(same, now, here, found) {
  const usual = same[0].by_heart;
  const field = usual ? "from_the_book" : "by_heart";
  const names = same.map((m) => m.moment);
  const turned = names.some((m) => now[field].includes(m));
  const others = now[field].filter((m) => !names.includes(m));
  return tick(`heart-${names[0]}`, same[0].title, usual !== turned, () => keep(here, found, `/settings/${field}`, turned ? others : [...others, ...names]));
}

function settled(found, here) {
  const days = Object.keys(found.parish.settings.days).sort();
  const line = (d) => h("li", {}, h("a", { href: `#today/${d}` }, d), " ", h("button", { type: "button", class: "quiet", onclick: () => keep(here, found, `/settings/days/${d}`, null) }, t("takeAway")));
  return section("dates-settled", t("datesSettled"), days.length ? h("ul", {}, days.map(line)) : h("p", { class: "note" }, t("noDates")));
}
