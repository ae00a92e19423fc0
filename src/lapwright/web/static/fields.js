// A number that can be typed, or moved by taps.

import { h } from "./dom.js";
import { SYMBOLS, spelt, textIn, unitOf } from "./units.js";

export function stepper(measure, { id = measure, quantity, wide, units, say, ontype, onstep, ondone }) {
  const unit = unitOf(measure, units);
  const name = say(measure);
  const button = (direction, sign) =>
    h(
      "button",
      {
        type: "button",
        id: `${id}-${direction < 0 ? "less" : "more"}`,
        class: "stepper",
        "aria-label": say(direction < 0 ? "less" : "more_of", { name }),
        onclick: () => onstep(measure, direction),
      },
      sign,
    );
  return h(
    "div",
    { class: wide ? "quantity wide" : "quantity" },
    h("label", { for: id }, `${name}, ${SYMBOLS[unit]}`),
    h(
      "div",
      { class: "steppers" },
      button(-1, "−"),
      h("input", {
        id,
        type: "text",
        inputmode: "decimal",
        autocomplete: "off",
        value: spelt(textIn(quantity, unit), say),
        oninput: (event) => ontype(measure, event.target.value),
        onchange: ondone,
      }),
      button(1, "+"),
    ),
  );
}
