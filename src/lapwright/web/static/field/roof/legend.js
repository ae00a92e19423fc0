// What the lines mean, and how much of the roof is in each state.

import { html, useReader } from "../../kit/kit.js";
import { lengthText } from "../quantity.js";
import { Sample } from "./lines.js";
import { GRAVEST_FIRST, lengths } from "./states.js";

export function Legend({ pieces }) {
  const reader = useReader();
  const sums = new Map(lengths(pieces));
  return html`<ul class="legend" role="list" aria-label=${reader.say("map.legend")}>${GRAVEST_FIRST.map((state) => html`<li key=${state} class=${sums.has(state) ? "" : "none"}>
    <${Sample} state=${state} />
    <span><strong>${reader.say(`roof.${state}`)}</strong> <span class="why">${reader.say(`roof.${state}.why`)}</span></span>
    <span class="much">${sums.has(state) ? lengthText(sums.get(state), reader) : reader.say("map.nothing")}</span>
  </li>`)}</ul>`;
}

// "1,200 ft proved, 30 ft without proof": one line for a seam.
export const sumsText = (pieces, reader) =>
  lengths(pieces).map(([state, length]) => `${lengthText(length, reader)} ${reader.say(`roof.${state}.short`)}`).join(", ");
