// The paper card as the fall-back: print it, weld by it, type it in later with its own time.

import { Choice, Measure, html, useReader, useState } from "../../kit/kit.js";
import { day, now, putAll } from "../app.js";
import { newId, stamp } from "../ids.js";
import { Page, Plain, TextField, go, measureOf, wordsOf } from "../parts.js";
import { nextNumber } from "../seams.js";
import { PULLS, SIGNS } from "../strips.js";

const ROWS = 6;

// What goes to the printer: the columns a weld needs, with room for a pencil.
export function Paper() {
  const { say } = useReader();
  const columns = ["number", "time", "air", "speed", "corner", "signs", "pulls"].map((name) => say(`paper.${name}`));
  return html`<${Page} tab="test" title=${say("paper.title")} onback=${() => go("test")} action=${{ label: say("paper.type_in"), onpress: () => go("test", "paper", "in") }}>
    <p class="screen-only">${say("paper.how")}</p>
    <div class="card" tabindex="0" role="group" aria-label=${say("paper.card")}>
      <p><strong>${say("paper.card")}</strong> ${day.value.day}</p>
      <p>${say("paper.head")}</p>
      <table>
        <thead><tr>${columns.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
        <tbody>${Array.from({ length: ROWS }, (_, n) => html`<tr><th scope="row">${n + 1}</th>${columns.slice(1).map(() => html`<td></td>`)}</tr>`)}</tbody>
      </table>
      <p>${say("paper.rule")}</p>
    </div>
    <div class="screen-only"><${Plain} label=${say("paper.print")} onpress=${() => print()} /></div>
  <//>`;
}

// One weld of the card, as it stands there, at the card's own time.
export function PaperIn() {
  const { say } = useReader();
  const { chain, conditions, nozzle, welds } = day.value;
  const today = stamp(now.value);
  const [time, setTime] = useState(today.slice(11, 16));
  const [number, setNumber] = useState(nextNumber(welds.map((each) => each.weld)));
  const [air, setAir] = useState(null);
  const [speed, setSpeed] = useState(welds.length ? null : { value: "10", unit: "ft_min" });
  const [pulls, setPulls] = useState([null, null, null]);
  const [heat, setHeat] = useState(null);
  const isTime = /^\d\d:\d\d$/.test(time);
  const keep = async () => {
    const at = `${today.slice(0, 10)}T${time}:00${today.slice(-6)}`;
    const weld = newId();
    const looked = { no: false, yes: null, not_looked: null }[heat];
    const signs = Object.fromEntries(SIGNS.map((sign) => [sign, looked]));
    await putAll([
      ["test_weld", { ...chain, number: number.trim(), nozzle_setup: nozzle?.id ?? null, conditions: conditions.id, air: measureOf(air, "set"), speed: measureOf(speed, "set"), purpose: "search" }, { id: weld, at, by: chain.operator, note: "card" }],
      ...(heat === "not_looked" ? [] : [["hot_look", { test_weld: weld, ...signs, ...(heat === "yes" ? { glaze: true } : { corner: "holds" }) }, { at }]]),
      ...pulls.flatMap((pull, n) => (pull ? [["strip", { of: weld, number: String(n + 1), pull }, { at }]] : [])),
    ]);
    go("test");
  };
  const waits = !isTime ? say("paper.time_first") : !air || !speed ? say("test.setting_first") : !heat ? say("paper.heat_first") : pulls.some(Boolean) ? null : say("strips.first");
  return html`<${Page} tab="test" title=${say("paper.type_in")} onback=${() => go("test", "paper")} action=${{ label: say("paper.keep"), waits: conditions ? waits : say("start.do.conditions"), onpress: keep }}>
    <${TextField} id="paper-time" type="time" label=${say("paper.time")} hint=${say("paper.time.hint")} value=${time} oninput=${setTime} />
    <${TextField} id="paper-number" label=${say("paper.number")} value=${number} oninput=${setNumber} />
    <${Measure} id="air" label=${say("field.air")} measure="air" steps=${{ f: 10, c: 5 }} usual=${{ value: "700", unit: "f" }} quantity=${air} onchange=${setAir} />
    <${Measure} id="speed" label=${say("field.speed")} measure="speed" steps=${{ ft_min: 0.5, m_min: 0.1 }} usual=${{ value: "10", unit: "ft_min" }} quantity=${speed} onchange=${setSpeed} />
    <${Choice} id="heat" legend=${say("paper.heat")} options=${["no", "yes", "not_looked"].map((key) => ({ key, label: say(`paper.heat.${key}`) }))} value=${heat} onpick=${setHeat} />
    ${pulls.map((pull, n) => html`<${Choice}
      key=${n}
      id=${`paper-pull-${n + 1}`}
      legend=${say("paper.strip", { number: n + 1 })}
      options=${wordsOf(say, "pull", PULLS)}
      value=${pull}
      onpick=${(key) => setPulls(pulls.map((one, at) => (at === n ? key : one)))}
    />`)}
  <//>`;
}
