// Test welds: what to weld next and why, then the hot look, then the strips, then the next one.

import { Banner, ListRow, Measure, Placed, Rows, html, useReader, useState } from "../../kit/kit.js";
import { heatIcon, stripIcon } from "../../marks.js";
import { chosen, day, now, put, tables } from "../app.js";
import { moment } from "../ids.js";
import { Caution, Page, Plain, go, may, measureOf } from "../parts.js";
import { unitFor, written } from "../quantity.js";
import { nextNumber } from "../seams.js";
import { standing } from "../standing.js";
import { Setting, WindowView, settingText } from "../windowview.js";
import { rounded } from "../../units.js";
import { isUnderWay } from "./strips.js";

const STEPS = { air: { f: 10, c: 5 }, speed: { ft_min: 0.5, m_min: 0.1 } };

// What a test weld leans on and is not there yet: where to go first.
function missing() {
  const { chain, conditions } = day.value;
  if (!chosen.value.job) return "job";
  if (!chain.operator) return "people";
  if (!chain.machine) return "machine";
  return conditions ? null : "conditions";
}

const isStale = ({ at }) => now.value * 1000 - moment(at) > tables.rules.conditions_age * 1e6;

// Before anything is known: a start as the practice has it, marked as such.
const PRACTICE = { air_f: 700, air_c: 370, speed_ft_min: 10, speed_m_min: 3 };

function nextOf(stands) {
  const { answer } = stands;
  if (answer?.next && answer.verdict) return { ...answer.next, isDone: answer.next.done };
  return { ...PRACTICE, reason_code: null, isDone: false };
}

function Welds() {
  const { say, units } = useReader();
  const { welds } = day.value;
  if (!welds.length) return null;
  return html`<h2>${say("test.made")}</h2>
    <${Rows} label=${say("test.made")}>${[...welds].reverse().map(({ weld, result }) => html`<${ListRow}
      key=${weld.id}
      title=${`${weld.body.number}: ${written(weld.body.air, "temperature", { say, units })}, ${written(weld.body.speed, "speed", { say, units })}`}
      note=${html`<span class="grades">
        ${result.strips.map(({ id, body }) => html`<span key=${id}><${Placed} element=${stripIcon(body.pull)} /> ${say(`word.pull.${body.pull}`)}</span>`)}
        <span><${Placed} element=${heatIcon(result.heat)} /> ${say(`heat.${result.heat ?? "not_looked"}`)}</span>
      </span>`}
      onpress=${() => go("test", "strips", weld.id)}
    />`)}<//>`;
}

export function Test() {
  const { say } = useReader();
  const lacks = missing();
  const open = day.value.welds.findLast(isUnderWay);
  if (lacks) {
    return html`<${Page} tab="test" title=${say("test.title")} action=${{ label: say(`start.do.${lacks}`), onpress: () => go("start", lacks) }}>
      <p>${say("test.lacks")}</p>
    <//>`;
  }
  if (open) {
    return html`<${Page}
      tab="test"
      title=${say("test.title")}
      action=${{ label: say("test.go_on", { number: open.weld.body.number }), onpress: () => go("test", "strips", open.weld.id) }}
    ><p>${say("test.waits", { number: open.weld.body.number })}</p><${Welds} /><//>`;
  }
  return html`<${Next} />`;
}

function Next() {
  const reader = useReader();
  const { say } = reader;
  const stands = standing.value;
  const next = nextOf(stands);
  const { conditions } = day.value;
  const why = next.reason_code ? say("test.why", { reason: say(`reason.${next.reason_code}`) }) : say("test.practice");
  const weld = { label: say("test.weld_it"), note: settingText(next, reader), onpress: () => go("test", "weld") };
  const decide = { label: say("test.decide"), onpress: () => go("test", "decide") };
  const isProved = Boolean(stands.answer?.certified);
  return html`<${Page}
    tab="test"
    title=${say("test.title")}
    action=${!may("test_weld") ? undefined : next.isDone && isProved ? decide : weld}
    banner=${isStale(conditions) && html`<${Banner}
      kind="test"
      text=${say("conditions.stale")}
      reason=${say("conditions.stale.why", { minutes: Math.round((now.value * 1000 - moment(conditions.at)) / 6e7) })}
      action=${{ label: say("conditions.again"), onpress: () => go("test", "conditions") }}
    />`}
  >
    ${!(next.isDone && isProved) && html`<div class="next-weld">
      <p class="next-name">${say("test.next", { number: nextNumber(day.value.welds.map((each) => each.weld)) })}</p>
      <${Setting} of=${next} id="next-setting" />
      <p>${why}</p>
    </div>`}
    ${stands.answer?.verdict ? html`<${WindowView} stands=${stands} isOpen />` : html`<p class="heed note">${say("by.nobody")}</p>`}
    ${stands.answer?.verdict && day.value.welds.length > 0 && html`<${Chart} />`}
    ${next.isDone && isProved && may("test_weld") && html`<${Plain} label=${say("test.another")} onpress=${() => go("test", "weld")} />`}
    ${stands.answer && !isProved && html`<${Plain} label=${say("test.decide_anyway")} onpress=${() => go("test", "decide")} />`}
    <${Welds} />
    <${Plain} label=${say("paper.title")} onpress=${() => go("test", "paper")} />
  <//>`;
}

// Loaded when opened, by an address that the list of kept files does not see.
function Chart() {
  const reader = useReader();
  const open = async ({ currentTarget }) => {
    if (!currentTarget.open) return;
    const { draw } = await import(new URL("../charts/window.js", import.meta.url)).catch(() => ({}));
    const place = currentTarget.querySelector(".chart-place");
    if (draw) await draw(place, reader);
    else place.textContent = reader.say("chart.no_signal");
  };
  return html`<details ontoggle=${open}><summary>${reader.say("chart.open")}</summary><div class="chart-place"></div></details>`;
}

// The weld as it was made: what was set, and what was measured if somebody did.
export function NewWeld() {
  const { say, units } = useReader();
  const next = nextOf(standing.value);
  const [airUnit, speedUnit] = [unitFor("temperature", units), unitFor("speed", units)];
  const [air, setAir] = useState({ value: rounded(next[`air_${airUnit}`], airUnit), unit: airUnit });
  const [speed, setSpeed] = useState({ value: rounded(next[`speed_${speedUnit}`], speedUnit), unit: speedUnit });
  const [measured, setMeasured] = useState(null);
  const { chain, welds, conditions, nozzle } = day.value;
  const number = nextNumber(welds.map((each) => each.weld));
  const keep = async () => {
    const isConfirm = next.reason_code === "confirm";
    const weld = await put("test_weld", {
      ...chain,
      number,
      nozzle_setup: nozzle?.id ?? null,
      conditions: conditions.id,
      air: measureOf(air, "set"),
      speed: measureOf(speed, "set"),
      measured_air: measureOf(measured, "measured"),
      place: "roof",
      purpose: isConfirm ? "confirm" : welds.length ? "search" : "start",
    }, { by: chain.operator });
    go("test", "strips", weld.id);
  };
  const waits = air && speed ? null : say("test.setting_first");
  return html`<${Page} tab="test" title=${say("test.weld", { number })} onback=${() => go("test")} action=${{ label: say("test.welded"), note: say("test.welded.note"), waits, onpress: keep }}>
    <${Caution} code="nozzle" kind="stop" />
    <${Measure} id="air" label=${say("field.air")} measure="air" steps=${STEPS.air} usual=${{ value: "700", unit: "f" }} quantity=${air} onchange=${setAir} />
    <${Measure} id="speed" label=${say("field.speed")} measure="speed" steps=${STEPS.speed} usual=${{ value: "10", unit: "ft_min" }} quantity=${speed} onchange=${setSpeed} />
    <details><summary>${say("field.measured_air")}</summary>
      <${Measure} id="measured_air" label=${say("field.measured_air")} measure="measured_air" steps=${STEPS.air} usual=${air ?? { value: "700", unit: "f" }} quantity=${measured} onchange=${setMeasured} />
    </details>
  <//>`;
}
