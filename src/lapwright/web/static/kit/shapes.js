// Shapes that carry a meaning without colour. Each goes with words; none stands alone.

import { html, useLayoutEffect, useRef } from "./html.js";

const LINES = {
  back: "M15 4L7 12l8 8",
  on: "M9 4l8 8-8 8",
  less: "M4 12h16",
  more: "M4 12h16M12 4v16",
  close: "M5 5l14 14M19 5L5 19",
  undo: "M8 4L3 9l5 5M4 9h10a6 6 0 0 1 0 12h-4",
  tick: "M4 13l5 5L20 6",
  camera: "M3 8h5l2-3h4l2 3h5v12H3zM16 13.5a4 4 0 1 1-8 0a4 4 0 0 1 8 0",
  // kinds of banner
  note: "M12 3a9 9 0 1 0 0.01 0M12 11v6M12 7.4v0.2",
  test: "M12 3l10 18H2zM12 10v5M12 17.9v0.2",
  stop: "M8 2h8l6 6v8l-6 6H8l-6-6V8zM7 12h10",
  done: "M3 3h18v18H3zM7 12l4 4 6.5-8",
};

export const Shape = ({ name }) =>
  html`<svg class="kit-shape" viewBox="0 0 24 24" aria-hidden="true"><path d=${LINES[name]} /></svg>`;

// A place for an element made elsewhere: the strip marks of marks.js, the chart of chart.js.
export function Placed({ element }) {
  const place = useRef();
  useLayoutEffect(() => place.current.replaceChildren(element), [element]);
  return html`<span class="kit-placed" ref=${place}></span>`;
}
