// Pieces that several screens share: the page around a screen, text fields, tiles to tick.

import { BigButton, Count, Screen, Shape, UndoBar, html, useReader } from "../kit/kit.js";
import { done, facts, isFull, line, me, record, tables, unsent, withdraw } from "./app.js";

export const TABS = ["start", "test", "run", "probe", "today"];

export const go = (...path) => { location.hash = `#/${path.join("/")}`; };

// A role sees what it may record; the server refuses the rest anyway.
export const may = (kind) => (tables.roles[me.value.role] ?? []).includes(kind);

function Tabs({ here }) {
  const { say } = useReader();
  return html`<nav class="tabs" aria-label=${say("tabs")}>
    ${TABS.map((tab) => html`<a
      href=${`#/${tab}`}
      class="tab"
      aria-current=${tab === here ? "page" : undefined}
    >${say(`tab.${tab}`)}</a>`)}
  </nav>`;
}

// How the phone stands with the server, in one mark that leads to "today".
function Line({ isShort }) {
  const { say } = useReader();
  const { isOnline } = line.value;
  const label = unsent.value ? say("line.unsent", { count: unsent.value }) : say(isOnline ? "line.all_sent" : "line.offline");
  return html`<a href="#/today" class=${`line ${isOnline ? "" : "off"}`}>
    <${Count} count=${unsent.value} label=${label} />
    ${!(isShort && isOnline) && html`<span aria-hidden="true">${say(isOnline ? "line.on" : "line.off")}</span>`}
  </a>`;
}

// What was just recorded, as people call it.
function told(say) {
  if (!done.value) return "";
  const found = done.value.map((id) => facts.value.get(id)).filter(Boolean);
  const first = found[0];
  if (!first || !record.value.get(first.id)) return "";
  const number = first.body.number ?? first.body.seam ?? first.body.name ?? (first.body.trigger ? say(`rule.${first.body.trigger}`) : "");
  return say("told", { what: `${say(`kind.${first.kind}`)} ${number}`.trim() });
}

function undo() {
  const ids = done.value;
  done.value = null;
  withdraw([...ids].reverse());
}

export function Page({ tab, title, onback, banner, action, isEntry, children }) {
  const { say } = useReader();
  const foot = html`
    <${UndoBar} text=${told(say)} onundo=${undo} onclose=${() => { done.value = null; }} />
    <${Tabs} here=${tab} />`;
  const full = isFull.value && html`<p class="heed stop" role="alert"><${Shape} name="stop" /> ${say("full")} <a href="#/today">${say("full.do")}</a></p>`;
  const out = line.value.isSignedOut && !isEntry &&
    html`<p class="heed test"><${Shape} name="test" /><a href="#/today/join">${say("line.signed_out")}</a></p>`;
  return html`<${Screen}
    key=${location.hash}
    title=${title}
    onback=${onback}
    aside=${html`<${Line} isShort=${Boolean(onback)} />`}
    banner=${html`${full}${out}${banner}`}
    foot=${foot}
    action=${action}
  >${children}<//>`;
}

// One line of caution, at the place where it matters.
export function Caution({ code, kind = "test" }) {
  const { say } = useReader();
  return html`<p class=${`heed ${kind}`}><${Shape} name=${kind} /><span>${say(`safety.${code}`)}</span></p>`;
}

export function TextField({ id, label, hint, value, type = "text", oninput, ...rest }) {
  return html`<div class="text-field">
    <label for=${id}>${label}</label>
    ${hint && html`<p class="kit-hint" id=${`${id}-hint`}>${hint}</p>`}
    <input
      id=${id}
      type=${type}
      value=${value}
      autocomplete="off"
      aria-describedby=${hint && `${id}-hint`}
      onInput=${(event) => oninput(event.target.value)}
      ...${rest}
    />
  </div>`;
}

// Any number of answers; the tick says which.
export function Several({ id, legend, options, values, onpick }) {
  const tile = ({ key, label }) => html`<label class="kit-tile" key=${key}>
    <input
      type="checkbox"
      id=${`${id}-${key}`}
      checked=${values.includes(key)}
      onChange=${(event) => onpick(event.target.checked ? [...values, key] : values.filter((one) => one !== key))}
    />
    <span class="kit-tile-face"><span class="kit-tick"><${Shape} name="tick" /></span><span class="kit-tile-text">${label}</span></span>
  </label>`;
  return html`<fieldset class="kit-choice" id=${id}><legend>${legend}</legend><div class="kit-tiles">${options.map(tile)}</div></fieldset>`;
}

// The words a field may hold, as tiles.
export const wordsOf = (say, field, among) => among.map((key) => ({ key, label: say(`word.${field}.${key}`) }));

export const Plain = (props) => html`<${BigButton} kind="plain" ...${props} />`;

// Yes, no, nobody looked: as a tile says it, and as a fact holds it.
export const flagOf = (key) => ({ yes: true, no: false })[key] ?? null;
export const keyOf = (flag) => (flag === true ? "yes" : flag === false ? "no" : "not_looked");

// A quantity of a field, {value, unit}, and a fact's measure.
export const measureOf = (quantity, how) => (quantity ? { typed: quantity.value, unit: quantity.unit, how } : null);
export const quantityOf = (measure) =>
  measure && measure.unit !== "dial" ? { value: measure.typed.replace(",", "."), unit: measure.unit } : null;

export const timeOf = (text) => text.slice(11, 16); // as the clock on the roof showed it
