// What is told in one line: banner, list row, count, undo.

import { html } from "./html.js";
import { useReader } from "./reader.js";
import { Shape } from "./shapes.js";

// One line, its reason, at most one thing to do. kind: note | test | stop | done; the shape
// repeats what the words say. `urgent` interrupts who listens; without it the line waits.
export const Banner = ({ kind = "note", text, reason, action, urgent }) =>
  html`<div class=${`kit-banner ${kind}`} role=${urgent ? "alert" : "status"}>
    <${Shape} name=${kind} />
    <p><strong>${text}</strong>${reason && html` <span>${reason}</span>`}</p>
    ${action && html`<button type="button" class="kit-button" onClick=${action.onpress}>${action.label}</button>`}
  </div>`;

// How many; `label` is the whole sentence for who listens ("3 not sent").
export const Count = ({ count, label }) =>
  html`<span class=${count ? "kit-count some" : "kit-count"}>
    <span aria-hidden="true">${count}</span><span class="kit-spoken">${label}</span>
  </span>`;

// role=list: one browser forgets that a list without bullets is one.
export const Rows = ({ label, children }) =>
  html`<ul class="kit-rows" role="list" aria-label=${label}>${children}</ul>`;

// A line of a list; with `onpress` the whole line is the button.
export function ListRow({ title, note, mark, aside, onpress }) {
  const inside = html`
    ${mark && html`<span class="kit-row-mark">${mark}</span>`}
    <span class="kit-row-text"><strong>${title}</strong>${note && html` <span>${note}</span>`}</span>
    ${aside}`;
  return html`<li>${
    onpress
      ? html`<button type="button" class="kit-row" onClick=${onpress}>${inside}<${Shape} name="on" /></button>`
      : html`<div class="kit-row">${inside}</div>`
  }</li>`;
}

// Nothing asks "are you sure": what was done is told, and can be taken back until it is closed.
// Keep it in the page with no text, so that a new text is read out.
export function UndoBar({ text, onundo, onclose }) {
  const { say } = useReader();
  return html`<div class="kit-undo" role="status">${text && html`
    <p>${text}</p>
    <button type="button" class="kit-button" onClick=${onundo}><${Shape} name="undo" />${say("kit.undo")}</button>
    <button type="button" class="kit-square" aria-label=${say("kit.close")} onClick=${onclose}><${Shape} name="close" /></button>
  `}</div>`;
}
