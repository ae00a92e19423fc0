// A test weld, cut or weld failed: which feet are in doubt, where to cut next, what it may cost.
// Only a cut or a test weld clears a doubt about bond; a probe does not.

import { Banner, Choice, ListRow, Rows, Shape, html, useReader } from "../../kit/kit.js";
import { record } from "../app.js";
import { Page, Plain, go, may, timeOf } from "../parts.js";
import { lengthText } from "../quantity.js";
import { percent } from "../windowview.js";
import { cause, kept, useRoof } from "./kept.js";
import { AsOf } from "./map.js";
import { metres } from "./states.js";
import { spanText } from "./tape.js";
import { dayText } from "./told.js";

// The rate of the cover strip, as the server reckoned with it.
function cover({ say, units }) {
  const unit = units === "metric" ? "m" : "ft";
  const rate = kept.value.suspects[`cover_${unit}`];
  return rate === undefined ? say("unknown") : `${rate.toFixed(2).replace(".", say.decimal)} / ${unit}`;
}

const money = (value, { lang }) => value.toLocaleString(lang === "es" ? "es-MX" : "en-US");

function boundText(evidence, side, { say }) {
  if (!evidence) return say(`suspect.no_${side}`);
  const what = say(`kind.${evidence.kind}`);
  return say(`suspect.${side}`, { what: `${what} ${evidence.number}, ${dayText(evidence.welded, { say })}, ${timeOf(evidence.welded)}` });
}

// What failed: the fact on the phone where it has come, else as the server said it.
function failureText({ failure, kind, says }, say) {
  const fact = record.value.get(failure);
  if (!fact) return says;
  const { number, type } = fact.body;
  return say(`suspect.${kind}`, { number, type: type && say(`word.defect.${type}`) });
}

function Feet({ spans, reader }) {
  const { say } = reader;
  const note = (each) => [
    spanText({ from: metres(each, "start"), to: metres(each, "end") }, reader),
    each.p_bad === null ? say("suspect.p_unknown") : say("suspect.p_bad", { p: percent(each.p_bad, say) }),
  ].join("; ");
  return html`<h2>${say("doubt.spans")}</h2>
    <${Rows} label=${say("doubt.spans")}>${spans.map((each) => html`<${ListRow} key=${each.run} title=${each.seam} note=${note(each)} onpress=${() => go("map", "story", each.seam)} />`)}<//>`;
}

function NextCuts({ cuts, reader }) {
  const { say } = reader;
  return html`<h2>${say("suspect.next_cuts")}</h2>
    <ol class="causes">${cuts.map((cut) => html`<li key=${cut.seam + cut.why}><strong>${cut.seam}, ${lengthText(metres(cut, "station"), reader)}</strong>: ${say(`suspect.${cut.why}`)}</li>`)}</ol>
    ${cause.value === "change" && html`<p>${say("suspect.confirm")}</p>`}
    ${may("cut") && html`<${Plain} label=${say("cut.title")} onpress=${() => go("probe", "cut")} />`}`;
}

function Doubt({ doubt, isOpen }) {
  const reader = useReader();
  const { say } = reader;
  const { spans, next_cuts: cuts, cost, sisters } = doubt;
  return html`<details class="doubt" open=${isOpen}>
    <summary><${Shape} name=${doubt.closed ? "done" : "stop"} /><span>${failureText(doubt, say)}</span></summary>
    <p><strong>${say("suspect.feet", { length: lengthText(metres(doubt, "length"), reader), operator: doubt.operator, machine: doubt.machine })}</strong></p>
    <ul class="told" role="list">
      <li>${boundText(doubt.since, "since", reader)}</li>
      <li>${boundText(doubt.until, "until", reader)}</li>
      ${doubt.bounded && html`<li>${say(doubt.closed ? "suspect.closed" : "suspect.bounded")}</li>`}
    </ul>
    ${cuts.length > 0 && html`<${NextCuts} cuts=${cuts} reader=${reader} />`}
    ${spans.length > 0 && html`<${Feet} spans=${spans} reader=${reader} />
      <p>${say("doubt.cost", { low: money(cost.low, say), high: money(cost.high, say), fewest: cost.fewest_cuts, most: cost.most_cuts })} ${!cost.cuts_counted && say("doubt.cuts_free", { cover: cover(reader) })}</p>`}
    ${sisters.length > 0 && html`<h2>${say("doubt.sisters")}</h2>
      <ul class="told" role="list">${sisters.map((each) => html`<li key=${each.operator + each.machine}>${say(`suspect.${each.why}`, { operator: each.operator, machine: each.machine, length: lengthText(metres(each, "length"), reader) })}</li>`)}</ul>`}
  </details>`;
}

export function Suspect({ id }) {
  const { say } = useReader();
  useRoof();
  const { suspects } = kept.value;
  const doubts = suspects?.doubts ?? [];
  const first = doubts.find(({ failure }) => failure === id) ?? doubts.find(({ closed }) => !closed);
  const options = ["local", "change"].map((key) => ({ key, label: say(`doubt.cause.${key}`), note: say(`doubt.cause.${key}.note`) }));
  return html`<${Page} tab="probe" title=${say("doubt.title")} onback=${() => go("map")}>
    <${AsOf} />
    ${suspects && !doubts.length && html`<p>${say("suspect.none")}</p>`}
    ${doubts.length > 0 && html`<${Banner} kind="note" text=${say("doubt.only_cuts")} />
      <${Choice} id="cause" legend=${say("doubt.cause")} options=${options} value=${cause.value} onpick=${(key) => { cause.value = key; }} />`}
    ${doubts.map((doubt) => html`<${Doubt} key=${doubt.failure} doubt=${doubt} isOpen=${doubt === first} />`)}
  <//>`;
}
