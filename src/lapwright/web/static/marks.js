// The marks of strips and heat, the same on the chart, in the form and in the lists:
// shape and filling carry the meaning, colour only repeats it.

import { s } from "./dom.js";

const READS_AS = {
  cold: "empty",
  skin: "empty",
  partial: "half",
  full: "solid",
  break: "solid",
  split: "crossed",
  invalid: "crossed",
};

// One strip: an empty, half filled or solid piece of sheet; crossed when it tells nothing.
export function stripMark(pull, { x = 0, y = 0, width = 18, height = 10 } = {}) {
  const reading = READS_AS[pull];
  const box = (w, className) => s("rect", { x, y, width: w, height, class: className });
  return s(
    "g",
    {},
    box(width, "strip"),
    reading === "solid" ? box(width, "strip-fill") : null,
    reading === "half" ? box(width / 2, "strip-fill") : null,
    reading === "crossed"
      ? s("path", { d: `M${x} ${y}l${width} ${height}m0 ${-height}l${-width} ${height}`, class: "strip" })
      : null,
  );
}

// Heat on a weld: solid triangle = signs; hollow = looked, none; "?" = nobody looked.
export function heatMark(heat, { x = 9, y = 0 } = {}) {
  if (!heat) return s("text", { x, y: y + 14, class: "heat-unknown" }, "?");
  const className = heat === "signs" ? "heat-signs" : "heat-none";
  return s("path", { d: `M${x} ${y + 1}l8 13h-16z`, class: className });
}

const inline = (mark, height) =>
  s("svg", { class: "mark", viewBox: `-1 -1 20 ${height}`, width: 20, height, "aria-hidden": "true" }, mark);

export const stripIcon = (pull) => inline(stripMark(pull), 12);
export const heatIcon = (heat) => inline(heatMark(heat), 17);
