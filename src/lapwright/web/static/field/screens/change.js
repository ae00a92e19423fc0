// Anything that changed, in two taps. What is a fact of its own is recorded as one; the rest is an
// event. Whether it asks for a test follows from the rules, never from this screen.

import { Choice, html, useReader, useState } from "../../kit/kit.js";
import { chosen, choose, day, put, record } from "../app.js";
import { Caution, Page, go, wordsOf } from "../parts.js";
import { newestOf, pairingName } from "../names.js";
import { wordChanged } from "./conditions.js";

const EVENTS = ["wet", "restart", "power_cut", "realigned", "symptom", "lunch"];
const WORDS = { sun: ["sun", "cloud", "shade"], wind: ["calm", "light", "breezy", "strong"] };
const OTHERS = ["operator", "machine", "power", "pairing", "readings"];

export function Change() {
  const reader = useReader();
  const { say } = reader;
  const [what, setWhat] = useState(null);
  const { chain, conditions } = day.value;
  const back = () => go("run");
  const happened = (trigger) =>
    put("event", { trigger, machine: chain.machine, operator: chain.operator, answer: "happened" }).then(back);
  const tap = (key) => {
    if (EVENTS.includes(key)) happened(key);
    else if (key === "readings") go("run", "conditions");
    else if (key === "power") go("start", "power");
    else setWhat(key);
  };
  const words = conditions ? Object.keys(WORDS) : [];
  const options = [...words, ...EVENTS, ...OTHERS].map((key) => ({ key, label: say(`change.${key}`) }));
  const people = record.value.all("person").filter(({ body }) => body.tasks.some((task) => task.startsWith("weld")));
  const picks = {
    operator: [people.map(({ id, body }) => ({ key: id, label: body.name })), (operator) => choose({ operator })],
    machine: [
      newestOf(record.value.all("machine"), ({ body }) => `${body.type} ${body.number}`).map(({ id, body }) => ({ key: id, label: body.number })),
      (machine) => choose({ machine }),
    ],
    pairing: [
      newestOf(record.value.all("pairing"), (one) => pairingName(record.value, one, reader)).map((one) => ({ key: one.id, label: pairingName(record.value, one, reader) })),
      (pairing) => choose({ pairing }),
    ],
    sun: [wordsOf(say, "sun", WORDS.sun), (value) => wordChanged("sun", value)],
    wind: [wordsOf(say, "wind", WORDS.wind), (value) => wordChanged("wind", value)],
  };
  const pick = async (key) => {
    await picks[what][1](key);
    back();
  };
  return html`<${Page} tab="run" title=${say("change.title")} onback=${what ? () => setWhat(null) : back}>
    ${!what && html`<${Choice} id="change" legend=${say("change.what")} options=${options} value=${null} onpick=${tap} />`}
    ${what && html`<${Choice} id="change-to" legend=${say(`change.${what}`)} options=${picks[what][0]} value=${chosen.value[what] ?? conditions?.body[what] ?? null} onpick=${pick} />`}
    <${Caution} code="park" kind="stop" />
  <//>`;
}
