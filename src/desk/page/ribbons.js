// The ribbons of a copy: colours from the spine, each kept as soon as it is changed.

import { at, change } from "./ask.js";
import { h, swatch } from "./draw.js";
import { t } from "./words.js";

/** The editor for `book`, one of the desk's list. */
export function ribbonsOf(book, here) {
  const now = book.ribbons.map((r) => r.colour);
  const save = async (value, before = now) => {
    const focused = document.activeElement?.id;
    try {
      await change(at(["books", book.file, "ribbons"]), { before, value });
      here.calm();
    } catch (error) {
      if (error.status !== 409 || !error.theirs) return here.refuse(error);
      return here.conflict(value.join(", "), error.theirs.join(", ") || t("nothing"), () => save(value, error.theirs), () => here.look().then(here.show));
    }
    await here.look();
    await here.show();
    here.tell(t("saved"));
    // What was pressed may be gone; the next of its kind takes its place.
    (document.getElementById(focused) ?? document.querySelector("[id^=add-]"))?.focus();
  };
  const ribbon = (r, i) => h("li", {}, swatch(r.dye),
    h("input", { id: `ribbon-${i}`, "aria-label": t("colourOf", i + 1), value: r.colour, list: "colours", onchange: (e) => save(now.map((c, n) => (n === i ? e.target.value : c))) }),
    h("button", { type: "button", class: "quiet", "aria-label": t("takeOut", r.colour), onclick: () => save(now.filter((_, n) => n !== i)) }, "×"));
  const unused = t("colours").filter((c) => !now.includes(c));
  return h("div", { class: "copy" },
    h("ol", { class: "copy-ribbons", "aria-label": t("ribbonsOf") }, book.ribbons.map(ribbon)),
    h("p", { class: "row", role: "group", "aria-label": t("addRibbon") }, h("span", {}, t("addRibbon"), ":"),
      unused.map((c) => h("button", { type: "button", id: `add-${c}`, onclick: () => save([...now, c]) }, c))),
    book.ribbons.length > 0 && h("p", {}, h("a", { class: "chief", id: "to-sunday", href: `#today/${here.desk.sunday}` }, t("toSunday"))),
    h("datalist", { id: "colours" }, t("colours").map((c) => h("option", { value: c }))));
}
