// The machine or hand gun, by the number painted on it, and its set-up checks.

import { Choice, Measure, YesNo, html, useReader, useState } from "../../kit/kit.js";
import { chosen, choose, day, put, record } from "../app.js";
import { newestOf } from "../names.js";
import { Caution, Page, Plain, TextField, flagOf, go, keyOf, may, measureOf, quantityOf, wordsOf } from "../parts.js";

const CHECKS = ["nozzle_clean", "aligned", "screen_clean", "roller_clean"];

export function Machine() {
  const { say } = useReader();
  const machines = newestOf(record.value.all("machine"), ({ body }) => `${body.type} ${body.number}`);
  const pick = (key) => {
    choose({ machine: key });
    go("start");
  };
  const add = { label: say("machine.new"), onpress: () => go("start", "machine", "new") };
  const options = machines.map(({ id, body }) => ({ key: id, label: body.number, note: say(`word.type.${body.type}`) }));
  return html`<${Page} tab="start" title=${say("start.machine.title")} onback=${() => go("start")} action=${machines.length ? undefined : add}>
    ${machines.length
      ? html`<${Choice} id="machine" legend=${say("machine.which")} options=${options} value=${chosen.value.machine} onpick=${pick} />`
      : html`<p>${say("machine.none")}</p>`}
    ${machines.length > 0 && may("machine") && html`<${Plain} ...${add} />`}
  <//>`;
}

export function NewMachine() {
  const { say, units } = useReader();
  const [number, setNumber] = useState("");
  const [type, setType] = useState("automatic");
  const [drive, setDrive] = useState(units === "us" ? "ft_min" : "m_min");
  const [hottest, setHottest] = useState(null);
  const keep = async () => {
    const machine = await put("machine", { number: number.trim(), type, drive, hottest_air: measureOf(hottest, "displayed") });
    choose({ machine: machine.id });
    go("start");
  };
  const waits = number.trim() ? null : say("machine.number_first");
  return html`<${Page} tab="start" title=${say("machine.new")} onback=${() => go("start", "machine")} action=${{ label: say("machine.keep"), waits, onpress: keep }}>
    <${TextField} id="machine-number" label=${say("field.machine_number")} hint=${say("machine.painted")} value=${number} oninput=${setNumber} />
    <${Choice} id="type" legend=${say("field.type")} options=${wordsOf(say, "type", ["automatic", "hand"])} value=${type} onpick=${setType} />
    <${Choice} id="drive" legend=${say("field.drive")} options=${wordsOf(say, "drive", ["ft_min", "m_min", "dial"])} value=${drive} onpick=${setDrive} />
    <${Measure} id="hottest" label=${say("field.hottest_air")} measure="air" steps=${{ f: 10, c: 5 }} usual=${{ value: "1150", unit: "f" }} quantity=${hottest} onchange=${setHottest} />
  <//>`;
}

// Nozzle, roller, air dam: looked at, one by one or all at once.
export function Checks() {
  const { say } = useReader();
  const last = record.value.latest("nozzle_setup", { machine: chosen.value.machine });
  const [width, setWidth] = useState(quantityOf(last?.body.nozzle_width) ?? { value: "1.5", unit: "in" });
  const today = day.value.nozzle?.body;
  const [seen, setSeen] = useState(Object.fromEntries(CHECKS.map((name) => [name, today ? keyOf(today[name]) : null])));
  const isWhole = CHECKS.every((name) => seen[name]);
  const keep = async (answers) => {
    await put("nozzle_setup", {
      machine: chosen.value.machine,
      nozzle_width: measureOf(width, "set"),
      ...Object.fromEntries(CHECKS.map((name) => [name, flagOf(answers[name])])),
    });
    go("start");
  };
  const all = () => keep(Object.fromEntries(CHECKS.map((name) => [name, "yes"])));
  const isTouched = CHECKS.some((name) => seen[name]);
  const action = isTouched
    ? { label: say("keep"), waits: isWhole ? null : say("checks.first"), onpress: () => keep(seen) }
    : { label: say("checks.all_good"), note: say("checks.all_good.note"), onpress: all };
  return html`<${Page} tab="start" title=${say("start.checks.title")} onback=${() => go("start")} action=${action}>
    <${Caution} code="nozzle" kind="stop" />
    <${Measure} id="nozzle-width" label=${say("field.nozzle_width")} measure="width" steps=${{ in: 0.25, mm: 5 }} usual=${{ value: "1.5", unit: "in" }} quantity=${width} onchange=${setWidth} />
    ${CHECKS.map((name) => html`<${YesNo}
      key=${name}
      id=${name}
      legend=${say(`field.${name}`)}
      value=${seen[name]}
      onpick=${(key) => setSeen({ ...seen, [name]: key })}
    />`)}
  <//>`;
}
