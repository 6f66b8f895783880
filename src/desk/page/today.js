// One date's Mass: what is celebrated and why, what may be chosen, the ribbons, the order of service.

import { at, change, get } from "./ask.js";
import { choose, h, put, swatch, tick } from "./draw.js";
import { edge } from "./edge.js";
import { t } from "./words.js";

const known = {};

/** The view: `date`, and "evening" for the Mass that begins the day before its own. */
export async function show(main, [date = null, evening], here) {
  const day = date ?? here.desk.today;
  const ask = { lang: here.lang, book: here.book, evening: evening === "evening" || null };
  const found = await get(at(["today", day], ask));
  known[here.lang] ??= await get(at(["choices"], { lang: here.lang }));
  return h("article", { class: `today ${found.colour}` },
    dates(found, here), heading(found), found.trouble && trouble(found, here), !here.book && newcomer(),
    h("div", { class: "leaves" },
      h("div", { class: "verso" }, ribbons(found, here), choices(found, here, known[here.lang]), why(found)),
      h("div", { class: "recto" }, found.card ? service(found.card, here) : texts(found), printing(found, here))),
    h("p", { class: "caution" }, found.caution));
}

const step = (day, by) => {
  const date = new Date(`${day}T12:00:00Z`);
  date.setUTCDate(date.getUTCDate() + by);
  return date.toISOString().slice(0, 10);
};

function dates(found, here) {
  const to = (date, text, label, id) => h("a", { class: "step", id, href: `#today/${date}`, "aria-label": label }, text);
  return h("div", { class: "dates" },
    to(step(found.date, -1), "‹", t("dayBefore"), "day-before"),
    h("div", { class: "whichday" },
      h("label", { for: "date", class: "unseen" }, t("date")),
      h("input", { type: "date", id: "date", value: found.date, min: "1970-01-01", max: "2100-12-31", onchange: (e) => e.target.value && here.go(`today/${e.target.value}`) }),
      h("a", { href: `#today/${here.desk.today}` }, t("toToday")), h("a", { href: `#today/${here.desk.sunday}` }, t("toSunday"))),
    to(step(found.date, 1), "›", t("dayAfter"), "day-after"));
}

function heading(found) {
  const evening = found.evening
    ? h("p", { class: "turn" }, h("b", {}, t("evening")), " · ", h("a", { href: `#today/${found.date}` }, t("ofTheDay")))
    : found.evening_mass && h("p", { class: "turn" }, h("a", { href: `#today/${found.date}/evening` }, t("eveningMass", found.evening_mass.title)));
  return h("header", { class: "title" },
    h("p", { class: "when" }, found.words), h("h1", {}, found.celebration),
    h("p", { class: "particulars" }, h("span", { class: `vestment ${found.colour}`, "aria-hidden": "true" }), found.particulars), evening);
}

function newcomer() {
  return h("section", { class: "newcomer" }, h("p", {}, t("noBook")), h("a", { class: "chief", href: "#book" }, t("beginBook")));
}

function trouble(found, here) {
  const book = here.desk.books.find((b) => b.file === here.book);
  if (book && !book.ribbons.length) {
    return h("section", { class: "newcomer" }, h("h2", {}, t("ribbons")), h("p", {}, t("noRibbons")),
      h("a", { class: "chief", id: "to-ribbons", href: `#book/${book.file}/ribbons` }, t("ribbonsOf")));
  }
  return h("section", { class: "newcomer" }, h("p", {}, found.trouble.said, "."), h("p", { class: "hint" }, found.trouble.hint),
    h("a", { href: `#book/${here.book}/photographs` }, t("photographs")));
}

function ribbons(found, here) {
  const books = here.desk.books;
  const chooser = books.length > 1 && choose("which-book", t("chooseBook"), books.map((b) => ({ value: b.file, text: b.name })), here.book, (file) => {
    here.book = file;
    here.show();
  });
  if (!found.card) return chooser || null;
  const { card } = found;
  const line = (l, dye) => h("li", {}, dye !== null && swatch(dye), h("span", { class: "name" }, l.colour || card.headings.open_at), " ",
    page(l.page, l.doubt), " ", h("span", { class: "text" }, l.text, l.book && ` (${l.book})`));
  const dyes = found.edges.flatMap((e) => e.ribbons);
  return h("section", { class: "ribbons", "aria-labelledby": "ribbons" },
    h("h2", { id: "ribbons" }, card.headings.ribbons, found.edges.length < 2 && h("small", {}, h("a", { href: `#book/${here.book}/ribbons` }, card.book))), chooser,
    found.edges.map((e) => h("figure", {}, edge(e), found.edges.length > 1 && h("figcaption", {}, e.book))),
    h("ul", { class: "laid" }, card.ribbons.map((l) => line(l, dyes.find((d) => d.ribbon === l.colour)?.dye)), card.open_at.map((l) => line(l, null))),
    card.notices.length > 0 && h("div", { class: "look" }, h("h3", {}, card.headings.notices), h("ul", {}, card.notices.map((n) => h("li", {}, n))),
      h("p", { class: "now" }, t("lookNow"), " ", found.look.map((l, i) => [i > 0 && " · ", h("a", { href: `#book/${here.book}/review/${l.place.replaceAll("/", "~")}` }, l.title)]))));
}

function page(label, doubt) {
  return h("span", { class: doubt ? "page doubt" : "page" }, label, doubt && h("span", { title: t("doubtful") }, "?"));
}

function service(card, here) {
  const moment = (s) => h("li", { class: s.by_heart ? "heart" : null },
    s.page ? page(s.page, s.doubt) : h("span", { class: "page" }),
    h("span", { class: "what" }, h("b", {}, s.moment), s.text && [": ", s.text], s.or && h("span", { class: "or" }, s.or)),
    h("span", { class: "hand" }, s.hand));
  const stands = [];
  for (const s of card.steps) {
    if (s.stand || !stands.length) stands.push({ stand: s.stand, steps: [] });
    stands.at(-1).steps.push(s);
  }
  return h("section", { class: "service", "aria-labelledby": "service" }, h("h2", { id: "service" }, card.headings.steps),
    stands.map((p) => [p.stand && h("h3", {}, p.stand), h("ol", {}, p.steps.map(moment))]));
}

/** The texts of the service where no book gives their pages. */
function texts(found) {
  return h("section", { class: "service", "aria-labelledby": "service" }, h("h2", { id: "service" }, t("texts")),
    h("ol", {}, found.texts.filter((x) => !x.by_heart).map((x) => h("li", {}, h("span", { class: "page" }), h("span", { class: "what" }, h("b", {}, x.moment), ": ", x.title)))));
}

function why(found) {
  const list = (items, lang) => h("ul", { lang }, items.map((r) => h("li", {}, r)));
  return h("div", { class: "why" },
    h("details", { id: "why", open: true }, h("summary", {}, t("why")), list(found.reasons, "en")),
    h("details", { id: "why-texts" }, h("summary", {}, t("whyTexts")), h("dl", {}, found.texts.map((x) => [h("dt", {}, x.moment, ": ", x.title), x.by_heart ? h("dd", {}, t("byHeart")) : h("dd", { lang: "en" }, x.reason)]))),
    found.card && h("details", { id: "worth" }, h("summary", {}, found.card.headings.worth), list(found.card.worth)));
}

function printing(found, here) {
  if (!found.card) return null;
  const ask = { lang: here.lang, book: here.book, evening: found.evening || null };
  const pdf = (paper) => h("a", { href: at(["today", found.date, `card-${paper}.pdf`], ask), target: "_blank" }, t("pdf", paper.toUpperCase()));
  return h("p", { class: "printing row" }, h("button", { type: "button", id: "print", class: "chief", onclick: () => print() }, t("print")), ["a6", "a5", "a4"].map(pdf));
}

/** Settles one field of the date's choices and plans anew. */
async function settle(found, here, field, value) {
  const pointer = `/settings/days/${found.of}${field ? `/${field}` : ""}`;
  const before = field ? field.split("/").reduce((v, k) => v?.[k], found.choices) ?? null : found.choices;
  const save = (was) => change("/api/parish", { at: pointer, before: was, value });
  try {
    await save(before);
  } catch (error) {
    if (error.status !== 409 || error.theirs === undefined) {
      here.refuse(error);
      return here.show();
    }
    const say = (v) => (v === null ? t("nothing") : typeof v === "object" ? JSON.stringify(v) : String(v));
    return here.conflict(say(value), say(error.theirs), () => here.attempt(() => save(error.theirs)).then(here.show), here.show);
  }
  here.calm();
  await here.show();
  const laid = [...document.querySelectorAll(".laid li")].map((li) => li.textContent.trim()).join("; ");
  here.tell(t("planned", document.querySelector("h1").textContent, laid));
}

function choices(found, here, all) {
  const { choices: c, allowed } = found;
  const set = (field) => (value) => settle(found, here, field, value || null);
  const option = (n) => ({ value: n.place, text: n.title });
  const ruled = (text) => ({ value: "", text: t("byRule", text) });
  const prefaces = () => {
    const fitting = allowed.prefaces.map((p) => p.place);
    const others = all.prefaces.filter((p) => !fitting.includes(p.place));
    const first = allowed.prefaces.length > 1 ? t("nearest") : allowed.prefaces[0]?.title;
    return [ruled(first), { group: t("allowed"), choices: allowed.prefaces.map(option) }, { group: t("others"), choices: others.map(option) }];
  };
  const masses = found.masses.map((m) => h("li", {},
    h("input", { type: "radio", name: "mass", id: `mass-${m.id}`, value: m.id, checked: c.mass ? c.mass === m.id : m === found.masses[0], onchange: () => set("mass")(m === found.masses[0] ? null : m.id) }),
    h("label", { for: `mass-${m.id}` }, h("span", { class: `vestment ${m.colour}`, "aria-hidden": "true" }), m.title, h("small", {}, m.particulars))));
  const list = (id, label, places, field, first = t("byRule")) => choose(id, label, [{ value: "", text: first }, ...places.map(option)], c[field] ?? "", set(field));
  const other = c.mass && !found.masses.some((m) => m.id === c.mass);
  const penitentials = Object.entries(t("penitentials")).map(([value, text]) => ({ value, text }));
  const settledHere = Object.keys(c).some((k) => k !== "set") || Object.keys(c.set ?? {}).length > 0;
  const more = ["rite", "common", "blessing", "penitential", "prayers", "collect", "mass_in_any_case"].some((k) => c[k]) || other || Object.keys(c.set ?? {}).length > 0;
  return h("section", { class: "choices", "aria-labelledby": "choices" }, h("h2", { id: "choices" }, t("choices")),
    !found.evening && found.masses.length > 1 && h("fieldset", {}, h("legend", {}, t("mass")), h("ul", {}, masses)),
    allowed.prefaces.length > 0 && choose("preface", t("preface"), prefaces(), c.preface ?? "", set("preface")),
    allowed.prayer && choose("prayer", t("prayer"), [ruled(allowed.prayer.title), ...all.prayers.map(option)], c.prayer ?? "", set("prayer")),
    h("details", { id: "more", open: more }, h("summary", {}, t("more")),
      !found.evening && list("other-mass", t("otherMass"), all.masses, "mass", t("none")),
      (other || c.mass_in_any_case) && tick("any-case", t("inAnyCase"), c.mass_in_any_case, (on) => set("mass_in_any_case")(on || null)),
      list("rite", t("rite"), all.rites, "rite", t("none")),
      choose("penitential", t("penitential"), [{ value: "", text: t("byHabit") }, ...penitentials], c.penitential ?? "", set("penitential")),
      list("blessing", t("blessing"), all.blessings, "blessing"), list("common", t("common"), all.commons, "common"),
      list("collect", t("collectFrom"), [...found.masses.slice(1).map((m) => ({ place: m.id, title: m.title })), ...all.masses], "collect"),
      list("prayers-of", t("prayersOf"), all.ordinary, "prayers"),
      parts(found, set)),
    settledHere && h("p", { class: "row" }, h("button", { type: "button", id: "forget", onclick: () => settle(found, here, "", null) }, t("forget"))));
}

/** What may be done or left out, one by one. */
function parts(found, set) {
  const usual = ["gloria", "creed", "sprinkling", "solemn-blessing", "over-people", "antiphons", "universal-prayer"].map((option) => ({ option, title: t(option) }));
  const all = [...usual, ...found.allowed.options.filter((o) => !usual.some((u) => u.option === o.option))];
  const value = (o) => { const v = found.choices.set?.[o.option]; return v === undefined ? "" : String(v); };
  const three = [{ value: "", text: t("byRule") }, { value: "true", text: t("done") }, { value: "false", text: t("notDone") }];
  return h("div", { class: "parts" }, all.map((o) => choose(`part-${o.option}`, o.title, three, value(o), (v) => set(`set/${o.option}`)(v === "" ? null : v === "true"))));
}
