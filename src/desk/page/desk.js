// The frame of the page: which view stands in the address, language, messages, the door.

import { at, change, get, lost } from "./ask.js";
import * as book from "./book.js";
import { choose, h, put } from "./draw.js";
import * as parish from "./parish.js";
import * as today from "./today.js";
import * as week from "./week.js";
import { speak, t } from "./words.js";

const VIEWS = { today, week, book, parish };
const main = document.getElementById("main");

/** What every view knows of the desk. */
const here = {
  lang: "en",
  desk: null,
  get book() {
    const kept = localStorage.getItem("book");
    const books = here.desk.books;
    return (books.find((b) => b.file === kept) ?? books.find((b) => b.ribbons.length) ?? books[0])?.file ?? null;
  },
  set book(file) {
    localStorage.setItem("book", file);
  },
  tell(words) {
    document.getElementById("told").textContent = words;
  },
  refuse(error) {
    if (error.status === 401) return door();
    if (!error.status && error.status !== 0) console.error(error);
    const close = h("button", { type: "button", onclick: () => put(box) }, t("close"));
    const box = document.getElementById("refused");
    put(box, h("p", {}, error.message.replace(/^./, (c) => c.toUpperCase()), "."),
      error.hint && h("p", { class: "hint" }, h("b", {}, t("hint")), " ", error.hint), close);
  },
  calm() {
    put(document.getElementById("refused"));
  },
  /** Does something and shows its refusal, if there is one; gives its result or nothing. */
  async attempt(work) {
    try {
      const done = await work();
      here.calm();
      return done;
    } catch (error) {
      here.refuse(error);
      return undefined;
    }
  },
  async look() {
    here.desk = await get("/api/desk");
  },
  go(address) {
    if (location.hash === `#${address}`) show();
    else location.hash = address;
  },
  show: () => show(),
};

/** Shows both values of a conflict and does what is chosen. `mine` and `theirs` are shown as they are. */
here.conflict = (mine, theirs, keep, take) => {
  const box = document.getElementById("refused");
  const done = (then) => () => { here.calm(); then(); };
  put(box, h("p", {}, h("b", {}, t("conflict"))),
    h("p", { class: "row" },
      h("button", { type: "button", id: "keep-mine", onclick: done(keep) }, t("mine", mine)),
      h("button", { type: "button", id: "take-theirs", onclick: done(take) }, t("theirs", theirs))));
  document.getElementById("keep-mine").focus();
};

/** Shows a question and does it if the answer is yes. */
here.ask = (question, yes, no) => {
  const box = document.getElementById("refused");
  const done = (then) => () => { here.calm(); then(); };
  put(box, h("p", {}, question.replace(/^./, (c) => c.toUpperCase()), "."),
    h("p", { class: "row" },
      h("button", { type: "button", id: "ask-no", onclick: done(no) }, t("askNo")),
      h("button", { type: "button", id: "ask-yes", onclick: done(yes) }, t("askYes"))));
  document.getElementById("ask-no").focus();
};

function language() {
  const kept = localStorage.getItem("language");
  const own = navigator.language?.startsWith("es") ? "es" : null;
  return kept ?? (here.desk?.language === "en" ? own : here.desk?.language) ?? own ?? "en";
}

function setLanguage(lang) {
  here.lang = lang;
  speak(lang);
  document.documentElement.lang = lang === "es" ? "es" : "en";
  document.getElementById("skip").textContent = t("skip");
  Object.assign(lost, { said: t("lost"), hint: t("lostHint") });
}

function parts() {
  const [view, ...rest] = decodeURIComponent(location.hash.slice(1)).split("/");
  return VIEWS[view] ? [view, ...rest] : ["today"];
}

function frame(view) {
  const link = (name) => h("a", { id: `view-${name}`, href: `#${name}`, "aria-current": name === view ? "page" : null }, t(name));
  const languages = [{ value: "en", text: "English" }, { value: "es", text: "Español" }];
  const chosen = choose("language", t("language"), languages, here.lang === "es" ? "es" : "en", (lang) => {
    localStorage.setItem("language", lang);
    setLanguage(lang);
    show();
  });
  put(document.getElementById("head"),
    h("p", { class: "mark" }, h("a", { href: "#today" }, "vitta"), here.desk.parish && h("span", {}, here.desk.parish)),
    h("nav", { "aria-label": t("views") }, Object.keys(VIEWS).map(link)), chosen);
}

let turn = 0;

async function show() {
  const mine = ++turn;
  const [view, ...rest] = parts();
  try {
    if (!here.desk) await here.look();
    setLanguage(language());
    frame(view);
    const shown = await VIEWS[view].show(main, rest, here);
    // A view left while it was loading must not come over the one that followed.
    if (mine === turn && shown) {
      put(main, shown);
      document.title = `${main.querySelector("h1")?.textContent ?? t(view)} · vitta`;
      VIEWS[view].shown?.(here);
    }
  } catch (error) {
    setLanguage(language());
    here.refuse(error);
  }
}

/** Asks for the code on a device that is new. */
function door() {
  setLanguage(language());
  const enter = async (event) => {
    event.preventDefault();
    await here.attempt(() => change("/api/code", { code: field.value })) && (await show());
  };
  const field = h("input", { id: "code", inputmode: "numeric", autocomplete: "one-time-code", required: true, size: 10 });
  put(main, h("form", { class: "door", onsubmit: enter }, h("h1", {}, "vitta"), h("p", {}, t("codeLong")),
    h("label", { for: "code" }, t("code")), field, h("button", { class: "chief" }, t("enter"))));
  field.focus();
}

document.getElementById("skip").addEventListener("click", (event) => {
  event.preventDefault();
  main.focus();
});
addEventListener("hashchange", () => {
  here.calm();
  here.tell("");
  scrollTo(0, 0);
  show();
});
show();
