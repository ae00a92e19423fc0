// One question with one answer: native radio buttons, drawn as tiles. The picked tile carries a
// tick, not only a colour.

import { html } from "./html.js";
import { useReader } from "./reader.js";
import { Shape } from "./shapes.js";

// options: [{key, label, note?, mark?, spoken?}]; value: a key, or null while nobody answered;
// upright: for three short answers, side by side on the smallest phone.
export function Choice({ id, legend, hint, options, value, upright, onpick }) {
  const tile = ({ key, label, note, mark, spoken }) => html`<label class="kit-tile" key=${key}>
    <input
      type="radio"
      id=${`${id}-${key}`}
      name=${id}
      value=${key}
      checked=${key === value}
      aria-label=${spoken}
      onChange=${() => onpick(key)}
    />
    <span class="kit-tile-face">
      <span class="kit-tick"><${Shape} name="tick" /></span>
      ${mark}
      <span class="kit-tile-text">${label}${note && html`<small>${note}</small>`}</span>
    </span>
  </label>`;
  return html`<fieldset class=${upright && "upright"} id=${id} aria-describedby=${hint && `${id}-hint`}>
    <legend>${legend}</legend>
    ${hint && html`<p class="kit-hint" id=${`${id}-hint`}>${hint}</p>`}
    <div class="kit-tiles">${options.map(tile)}</div>
  </fieldset>`;
}

// Yes, no, or nobody looked: the last is an answer of its own and never a no.
export function YesNo({ id, legend, hint, value, onpick }) {
  const { say } = useReader();
  const options = ["yes", "no", "not_looked"].map((key) => ({ key, label: say(`kit.${key}`) }));
  return html`<${Choice} ...${{ id, legend, hint, options, value, onpick }} upright />`;
}
