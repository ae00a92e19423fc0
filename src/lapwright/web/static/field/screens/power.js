// Generator, cord, volts at the machine under load.

import { Choice, Measure, YesNo, html, useReader, useState } from "../../kit/kit.js";
import { chosen, choose, day, put, record } from "../app.js";
import { spelt } from "../../units.js";
import { newestOf, powerName } from "../names.js";
import { Caution, Page, Plain, TextField, flagOf, go, keyOf, may, measureOf, quantityOf } from "../parts.js";

const GAUGES = {
  us: ["14 AWG", "12 AWG", "10 AWG", "8 AWG"],
  metric: ["2.5 mm2", "4 mm2", "6 mm2", "10 mm2"],
};
// Another cord or generator in the middle of the day leads back to the seam.
const back = () => (day.value.open ? go("run") : go("start"));

export function Power() {
  const reader = useReader();
  const { say } = reader;
  const setups = newestOf(record.value.all("power_setup"), (one) => powerName(one, reader));
  const pick = (key) => {
    choose({ power_setup: key });
    back();
  };
  const add = { label: say("power.new"), onpress: () => go("start", "power", "new") };
  const options = setups.map((one) => ({ key: one.id, label: powerName(one, reader) }));
  return html`<${Page} tab="start" title=${say("start.power.title")} onback=${back} action=${setups.length ? undefined : add}>
    <${Caution} code="power" kind="stop" />
    ${setups.length
      ? html`<${Choice} id="power" legend=${say("power.which")} options=${options} value=${chosen.value.power_setup} onpick=${pick} />`
      : html`<p>${say("power.none")}</p>`}
    ${setups.length > 0 && may("power_setup") && html`<${Plain} ...${add} />`}
  <//>`;
}

export function NewPower() {
  const { say, units } = useReader();
  const last = record.value.get(chosen.value.power_setup)?.body;
  const [source, setSource] = useState(last?.source ?? "");
  const [dedicated, setDedicated] = useState(last ? keyOf(last.dedicated) : null);
  const [gauge, setGauge] = useState(last?.gauge ?? "");
  const [cord, setCord] = useState(quantityOf(last?.cord_length));
  const [volts, setVolts] = useState(null);
  const keep = async () => {
    const power = await put("power_setup", {
      source: source.trim(),
      dedicated: flagOf(dedicated),
      gauge: gauge || null,
      cord_length: measureOf(cord, "estimated"),
      volts: measureOf(volts, "measured"),
    });
    choose({ power_setup: power.id });
    back();
  };
  const waits = source.trim() ? null : say("power.source_first");
  const gauges = [...new Set([...GAUGES[units], gauge])].filter(Boolean);
  return html`<${Page} tab="start" title=${say("power.new")} onback=${() => go("start", "power")} action=${{ label: say("power.keep"), waits, onpress: keep }}>
    <${Caution} code="cords" kind="stop" />
    <${TextField} id="source" label=${say("field.source")} hint=${say("power.source.hint")} value=${source} oninput=${setSource} />
    <${YesNo} id="dedicated" legend=${say("field.dedicated")} value=${dedicated} onpick=${setDedicated} />
    <${Choice} id="gauge" legend=${say("field.gauge")} options=${gauges.map((key) => ({ key, label: spelt(key, say).replace("mm2", "mm²") }))} value=${gauge} onpick=${setGauge} />
    <${Measure} id="cord" label=${say("field.cord_length")} measure="cord_length" steps=${{ ft: 25, m: 5 }} usual=${{ value: "100", unit: "ft" }} quantity=${cord} onchange=${setCord} />
    <${Measure} id="volts" label=${say("field.volts")} hint=${say("power.volts.hint")} measure="volts" steps=${{ v: 1 }} usual=${{ value: "230", unit: "v" }} quantity=${volts} onchange=${setVolts} />
  <//>`;
}
