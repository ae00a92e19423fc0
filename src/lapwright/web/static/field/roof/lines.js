// How each state of a foot is drawn: a line of its own, told apart without colour, and for what
// somebody has to look into a mark of its own. Widths are in parts of the seam's width.

import { html } from "../../kit/html.js";

// Strokes from below to above: {width, dash, round, paper}. `paper` is drawn in white.
const STROKES = {
  bare: [{ width: 0.22, dash: [0.4, 0.7] }],
  welded: [{ width: 0.34 }],
  proved: [{ width: 0.8 }],
  probed: [{ width: 1 }, { width: 0.36, paper: true }],
  repaired: [{ width: 0.3 }, { width: 1.1, dash: [0.3, 0.9] }],
  stale: [{ width: 0.9, dash: [1.6, 0.8] }],
  orphan: [{ width: 0.9, dash: [0, 1.5], round: true }],
  suspect: [{ width: 1.1 }, { width: 0.75, dash: [0.35, 0.55], paper: true }],
  defect: [{ width: 1.2 }],
};

// Marks on a disc of 18 px.
const MARKS = {
  defect: "M-4.5-4.5L4.5 4.5M4.5-4.5L-4.5 4.5",
  suspect: "M-3-2.6a3 3 0 1 1 4.4 2.7C0.3 0.9 0 1.5 0 2.6M0 5.2v0.4",
  orphan: "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0",
  stale: "M0-5v5h4",
  repaired: "M-5 0h10M0-5v10",
};

export const hasMark = (state) => state in MARKS;

export function Strokes({ state, path, width }) {
  return STROKES[state].map(({ width: part, dash, round, paper }) => html`<path
    d=${path}
    class=${paper ? "seam paper" : `seam ${state}`}
    stroke-width=${(part * width).toFixed(2)}
    stroke-dasharray=${dash && dash.map((each) => Math.max(0.01, each * width).toFixed(2)).join(" ")}
    stroke-linecap=${round ? "round" : undefined}
  />`);
}

export const Mark = ({ state, x = 0, y = 0 }) =>
  html`<g class=${`mark-of ${state}`} transform=${`translate(${x.toFixed(1)} ${y.toFixed(1)})`}>
    <circle r="9" /><path d=${MARKS[state]} />
  </g>`;

// The sample of a legend.
export const Sample = ({ state }) =>
  html`<svg class="sample" viewBox="0 0 64 22" aria-hidden="true">
    <${Strokes} state=${state} path="M2 11H62" width=${8} />
    ${hasMark(state) && html`<${Mark} state=${state} x=${32} y=${11} />`}
  </svg>`;
