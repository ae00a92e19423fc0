// All that was recorded today, newest first. Nothing is erased: what was wrong is taken back by a
// fact of its own, and both stay in sight.

import { Drawer, ListRow, Rows, Shape, html, useReader, useState } from "../../kit/kit.js";
import { day, me, pending, record, withdraw } from "../app.js";
import { personName } from "../names.js";
import { Page, Plain, go, timeOf } from "../parts.js";
import { written } from "../quantity.js";

const QUANTITY = { air: "temperature", speed: "speed", station: "length", ambient: "temperature", sheet: "temperature", start: "length", end: "length" };
const WORDS = { pull: "pull", reason: "stop_reason", corner: "corner", answer: "answered", method: "method" };
const ALL = ["foreman", "quality"]; // who takes back what others recorded

// One line about a fact: its number or place, and its readings.
export function gist({ kind, body }, reader) {
  const { say } = reader;
  const names = [body.number, body.seam, body.name, body.trigger && say(`rule.${body.trigger}`)].filter(Boolean);
  const readings = Object.entries(QUANTITY).flatMap(([name, quantity]) => (body[name]?.unit ? [written(body[name], quantity, reader)] : []));
  const words = Object.entries(WORDS).flatMap(([name, list]) => (typeof body[name] === "string" && !(kind !== "run_end" && name === "reason") ? [say(`word.${list}.${body[name]}`)] : []));
  return [...names, ...readings, ...words].join(", ");
}

export function List() {
  const reader = useReader();
  const { say } = reader;
  const [id, setId] = useState(null);
  const waiting = new Set(pending.value.facts.map((each) => each.id));
  const held = [...record.value.held.values()].filter(({ fact }) => fact.at.startsWith(day.value.day) && fact.kind !== "correction").reverse();
  const one = id && record.value.held.get(id);
  const isOwn = one && (ALL.includes(me.value.role) || one.fact.entered_by === me.value.account);
  const name = ({ fact }) => `${timeOf(fact.at)} ${say(`kind.${fact.kind}`)}`;
  return html`<${Page} tab="today" title=${say("today.list")} onback=${() => go("today")}>
    ${!held.length && html`<p>${say("today.nothing")}</p>`}
    <${Rows} label=${say("today.list")}>${held.map((each) => html`<${ListRow}
      key=${each.fact.id}
      mark=${html`<${Shape} name=${each.isWithdrawn ? "undo" : waiting.has(each.fact.id) ? "on" : "done"} />`}
      title=${name(each)}
      note=${[
        gist(each.fact, reader),
        personName(record.value.get(each.fact.by)),
        each.isWithdrawn && say("list.withdrawn"),
        each.corrections.length > 0 && !each.isWithdrawn && say("list.corrected"),
        waiting.has(each.fact.id) && say("list.unsent"),
      ].filter((part) => part && part !== "?").join(". ")}
      onpress=${() => setId(each.fact.id)}
    />`)}<//>
    <${Drawer} open=${Boolean(one)} title=${one ? name(one) : ""} onclose=${() => setId(null)}>
      ${one && html`
        <p>${gist(one.fact, reader)}</p>
        ${one.corrections.map(({ id: key, body, at }) => html`<p key=${key}>${say("list.correction", { time: timeOf(at), reason: say(`word.why_wrong.${body.reason}`) })}</p>`)}
        ${one.isWithdrawn
          ? html`<p><strong>${say("list.withdrawn")}</strong></p>`
          : isOwn
            ? html`<${Plain} shape="undo" label=${say("list.take_back")} note=${say("list.take_back.note")} onpress=${() => withdraw([one.fact.id]).then(() => setId(null))} />`
            : html`<p>${say("list.not_own")}</p>`}`}
    <//>
  <//>`;
}
