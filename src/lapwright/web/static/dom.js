// Small makers of elements. Text always goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== false));
  return element;
}

export const h = (tag, attributes, ...children) =>
  fill(document.createElement(tag), attributes, children);

export const s = (tag, attributes, ...children) =>
  fill(document.createElementNS(SVG, tag), attributes, children);

// Put new content in place and keep the keyboard where it was.
export function show(place, ...children) {
  const focused = place.contains(document.activeElement) ? document.activeElement.id : "";
  const open = new Set([...place.querySelectorAll("details[open]")].map((details) => details.id));
  place.replaceChildren(...children.flat(Infinity).filter(Boolean));
  for (const details of place.querySelectorAll("details")) details.open = open.has(details.id);
  if (focused) document.getElementById(focused)?.focus();
}

// One question with one answer: native radio buttons, drawn as segments.
export function choice({ id, legend, hint, options, value, onpick, hidden = () => false }) {
  const segment = ({ key, label, mark, spoken }) =>
    h(
      "label",
      { class: "segment", hidden: hidden(key) },
      h("input", {
        type: "radio",
        id: `${id}-${key}`,
        name: id,
        value: key,
        checked: key === value,
        "aria-label": spoken,
        onchange: () => onpick(key),
      }),
      h("span", {}, mark ?? null, label),
    );
  return h(
    "fieldset",
    { id, class: "choice", "aria-describedby": hint ? `${id}-hint` : null },
    h("legend", {}, legend),
    hint ? h("p", { id: `${id}-hint`, class: "hint" }, hint) : null,
    h("div", { class: "segments" }, options.map(segment)),
  );
}
