// Elements of the page, made from plain values; text is always text, never markup.

/** An element with attributes, listeners (`onclick`) and children; what is null or false is left out. */
export function h(name, attributes, ...children) {
  return fill(document.createElement(name), attributes, children);
}

/** The same for SVG. */
export function s(name, attributes, ...children) {
  return fill(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);
}

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value") element.value = value;
    else if (name === "checked" || name === "selected") element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/**
 * Puts children in place of those that are there; the focus stays on the element of the same id, and what
 * was unfolded stays unfolded.
 */
export function put(into, ...children) {
  const focused = document.activeElement?.id;
  const inside = focused && into.contains(document.activeElement);
  const unfolded = [...into.querySelectorAll("details[open][id]")].map((d) => d.id);
  into.replaceChildren(...children.flat(3).filter(Boolean));
  for (const id of unfolded) document.getElementById(id)?.setAttribute("open", "");
  if (inside) document.getElementById(focused)?.focus({ preventScroll: true });
}

/** A labelled choice. `choices` are {value, text} or {group, choices}. */
export function choose(id, label, choices, value, onchange, note) {
  const option = (c) => h("option", { value: c.value, selected: c.value === value }, c.text);
  const group = (c) => (c.group ? h("optgroup", { label: c.group }, c.choices.map(option)) : option(c));
  const select = h("select", { id, onchange: (e) => onchange(e.target.value), "aria-describedby": note && `${id}-note` }, choices.map(group));
  return h("div", { class: "field" }, h("label", { for: id }, label), select, note && h("p", { class: "note", id: `${id}-note` }, note));
}

/** A labelled box to tick. */
export function tick(id, label, value, onchange) {
  return h("div", { class: "tick" },
    h("input", { type: "checkbox", id, checked: value, onchange: (e) => onchange(e.target.checked) }),
    h("label", { for: id }, label));
}

/** A ribbon's colour beside its name. */
export function swatch(dye) {
  return s("svg", { class: "swatch", viewBox: "0 0 12 22", "aria-hidden": "true" },
    s("path", { d: "M1 1h10v20l-5-5-5 5z", fill: dye ?? "none", class: dye ? "dyed" : "undyed" }));
}
