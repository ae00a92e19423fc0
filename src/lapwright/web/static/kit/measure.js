// Numbers that are typed or moved by taps. What was typed is kept with its unit; empty is
// null, which means not known and never zero.

import { SYMBOLS, numberIn, rounded, spelt, stepped, textIn, unitOf, valueIn } from "../units.js";
import { html, useState } from "./html.js";
import { useReader } from "./reader.js";
import { Shape } from "./shapes.js";

const NUMBER = /^-?(\d+([.,]\d*)?|[.,]\d+)$/;

const tidy = (text) => text.trim().replace("−", "-");
const valueOf = (text) => tidy(text).replace(",", ".").replace(/\.$/, "");

// Why a text is no number for this field, in words; null when it is one, or empty.
export function faultOf(text, { say, signed }) {
  const clean = tidy(text);
  if (clean === "") return null;
  if (!NUMBER.test(clean)) return say("kit.no_number", { text: clean });
  const other = say.decimal === "," ? "." : ",";
  const [whole, part] = clean.split(other);
  if (part?.length === 3) {
    return say("kit.doubtful", { text: clean, one: whole + part, two: whole + say.decimal + part });
  }
  return clean.startsWith("-") && !signed ? say("kit.negative") : null;
}

// The field itself. step(size, direction) gives the next quantity; sizes has one or two steps.
function NumberField({ id, label, hint, unit, quantity, decimals, sizes, step, check, onchange }) {
  const { say } = useReader();
  const [draft, setDraft] = useState(null); // the text while it is typed
  const text = draft ?? spelt(textIn(quantity, unit, decimals), say).replace("-", "−");
  const fault = check(text);
  const typed = (event) => {
    const now = event.target.value;
    setDraft(now);
    onchange(now.trim() === "" || check(now) ? null : { value: valueOf(now), unit });
  };
  const button = (size, direction) => {
    const next = () => {
      const moved = step(size, direction);
      if (check(moved.value)) return;
      setDraft(null);
      onchange(moved);
    };
    const shown = spelt(String(size), say);
    const values = { name: label, step: `${shown} ${SYMBOLS[unit]}` };
    return html`<button
      type="button"
      class="kit-step"
      id=${`${id}-${direction < 0 ? "less" : "more"}-${size}`}
      aria-label=${say(direction < 0 ? "kit.less" : "kit.more", values)}
      onClick=${next}
    >${sizes.length > 1 ? `${direction < 0 ? "−" : "+"}${shown}` : html`<${Shape} name=${direction < 0 ? "less" : "more"} />`}</button>`;
  };
  const about = [hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ");
  return html`<div class=${`kit-measure steps-${sizes.length}`}>
    <label for=${id}>${label}</label>
    ${hint && html`<p class="kit-hint" id=${`${id}-hint`}>${hint}</p>`}
    <div class="kit-steps">
      ${[...sizes].reverse().map((size) => button(size, -1))}
      <div class="kit-figure">
        <input
          id=${id}
          type="text"
          inputmode="decimal"
          autocomplete="off"
          enterkeyhint="done"
          placeholder="?"
          value=${text}
          aria-label=${`${label}, ${SYMBOLS[unit]}`}
          aria-invalid=${fault ? "true" : undefined}
          aria-describedby=${about || undefined}
          onInput=${typed}
          onBlur=${() => { if (!fault) setDraft(null); }}
        />
        <span aria-hidden="true">${SYMBOLS[unit]}</span>
      </div>
      ${sizes.map((size) => button(size, 1))}
    </div>
    <p class="kit-fault" id=${`${id}-fault`} role="status">${fault}</p>
  </div>`;
}

// measure: a name that units.js knows ("air", "speed", "temperature" ...), or a fixed `unit`.
// steps: size of one tap in each unit, {f: 10, c: 5}; usual: where the first tap starts from.
export function Measure({ measure, unit, steps, usual, signed = false, quantity, ...rest }) {
  const { say, units } = useReader();
  const here = unit ?? unitOf(measure, units);
  const step = (size, direction) => stepped(quantity, { unit: here, size, usual, direction });
  const check = (text) => faultOf(text, { say, signed });
  return html`<${NumberField} ...${rest} ...${{ quantity, step, check, unit: here, sizes: [steps[here]] }} />`;
}

const STATION = { ft: { decimals: 0, sizes: [1, 10] }, m: { decimals: 1, sizes: [0.5, 5] } };

// A place along a seam, from its origin end: whole feet, or metres to a tenth. most: the far end.
export function StationField({ quantity, most, ...rest }) {
  const { say, units } = useReader();
  const unit = unitOf("length", units);
  const { decimals, sizes } = STATION[unit];
  const check = (text) => {
    const fault = faultOf(text, { say, signed: false });
    if (fault || tidy(text) === "") return fault;
    if ((valueOf(text).split(".")[1] ?? "").length > decimals) return say(`kit.station_${unit}`);
    if (!most || numberIn(text) <= Number(rounded(valueIn(most, unit), unit, decimals))) return null;
    return say("kit.past_end", { most: `${spelt(textIn(most, unit, decimals), say)} ${SYMBOLS[unit]}` });
  };
  const step = (size, direction) => {
    const now = quantity ? Number(rounded(valueIn(quantity, unit), unit, decimals)) : 0;
    return { value: rounded(Math.max(0, now + direction * size), unit, decimals), unit };
  };
  return html`<${NumberField} ...${rest} ...${{ quantity, unit, decimals, sizes, step, check }} />`;
}
