/* Elements from plain values. Text goes in as text, never as markup, so a note or a name cannot become a page. */

/** An element; `attributes` may hold `class`, `onclick`, `data-…`, and true or false for switches like `hidden`. */
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [attribute, value] of Object.entries(attributes)) {
    if (attribute.startsWith("on")) {
      element.addEventListener(attribute.slice(2), value);
    } else if (value === true) {
      element.setAttribute(attribute, "");
    } else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(attribute, value);
    }
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== ""));
  return element;
}

/** One answer that stays pressed. `name` tells it apart on its screen, so that focus finds it again after a redraw. */
export function tap(name, label, { pressed = null, kind = "", onclick, disabled = false } = {}) {
  return make(
    "button",
    { type: "button", class: `tap ${kind}`.trim(), "data-tap": name, "aria-pressed": pressed === null ? null : String(pressed), onclick, disabled },
    make("span", {}, label),
  );
}

/** A question with its answers as cells. `quiet` keeps its name for those who listen rather than look. */
export function question(legend, cells, { grid = "", quiet = false } = {}) {
  return make(
    "fieldset",
    { class: "taps" },
    make("legend", { class: quiet ? "visually-hidden" : null }, legend),
    make("div", { class: `taps-grid ${grid}`.trim() }, ...cells),
  );
}

export function button(name, label, onclick, { primary = false, final = false, disabled = false } = {}) {
  const look = primary ? "button-primary" : final ? "button-final" : "";
  return make("button", { type: "button", class: `button ${look}`.trim(), "data-tap": name, onclick, disabled }, label);
}

export function link(label, href, { primary = false } = {}) {
  return make("a", { class: `button ${primary ? "button-primary" : ""}`.trim(), href }, label);
}

/** `tone` is mind, broken or done; `word` says so for those who cannot see the colour. */
export function notice(tone, word, ...lines) {
  const said = lines.filter(Boolean);
  return make(
    "div",
    { class: `notice notice-${tone}` },
    make("p", {}, make("span", { class: "notice-word" }, word), said.length ? ` ${said[0]}` : ""),
    ...said.slice(1).map((line) => (line instanceof Node ? line : make("p", {}, line))),
  );
}

/** A row of a list, the whole of it one link: the name, then what goes with it. */
export function stopRow(href, name, ...lines) {
  const said = lines.filter(Boolean).map((line) => make("span", {}, line));
  return make("li", {}, make("a", { class: "stop", href }, make("span", { class: "stop-name" }, name), ...said));
}

export function list(...rows) {
  return make("ul", { class: "stops" }, ...rows);
}
