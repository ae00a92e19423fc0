// The window as it stands, drawn and in words: the same for the server's answer and the phone's.

import { Placed, Shape, html, useEffect, useReader, useRef, useState } from "../kit/kit.js";
import { windowChart } from "../chart.js";
import { withUnit } from "../units.js";
import { day } from "./app.js";
import { quantityOf } from "./parts.js";
import { unitFor } from "./quantity.js";

const NO_POINT = ["no_window", "saturated"]; // a large figure would invite somebody to use it
export const pointOf = (answer) => (NO_POINT.includes(answer.verdict) ? null : answer.set_point);

// A setting in the reader's units, as big figures.
export function Setting({ of, id }) {
  const { say, units } = useReader();
  const [air, speed] = [unitFor("temperature", units), unitFor("speed", units)];
  return html`<p class="blade-setting" id=${id}>
    <span>${withUnit(of[`air_${air}`], air, say)}</span>${" "}<span>${withUnit(of[`speed_${speed}`], speed, say)}</span>
  </p>`;
}

export const settingText = (of, { say, units }) => {
  const [air, speed] = [unitFor("temperature", units), unitFor("speed", units)];
  return `${withUnit(of[`air_${air}`], air, say)}, ${withUnit(of[`speed_${speed}`], speed, say)}`;
};

// Never 0 or 100: few strips cannot say so.
export const percent = (p, say) => (p > 0.99 ? say("percent.over") : p < 0.01 ? say("percent.under") : `${Math.round(p * 100)}\u00a0%`);

// One edge in words: between, below, above, or not known yet.
export function edgeText(answer, side, { say, units }) {
  const unit = unitFor("temperature", units);
  const [low, mid, high] = ["low", "mid", "high"].map((name) => answer[side][`${name}_${unit}`] ?? null);
  const text = (value) => (value === null ? "" : withUnit(value, unit, say));
  const open = low === null ? (high === null ? "unknown" : "below") : high === null ? "above" : "between";
  return say(`edge.${open}`, { edge: say(`edge.${side}`), low: text(low), mid: text(mid), high: text(high) });
}

// Test welds of the day in the shape that the chart draws.
const drawn = () =>
  day.value.welds
    .filter(({ weld }) => quantityOf(weld.body.air))
    .map(({ weld, result }) => ({
      name: weld.body.number,
      air: quantityOf(weld.body.air),
      measured_air: quantityOf(weld.body.measured_air),
      strips: result.strips.map(({ body }) => ({ pull: body.pull, overheat: result.heat ?? "" })),
    }));

function Chart({ answer }) {
  const reader = useReader();
  const place = useRef();
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const watch = new ResizeObserver(([entry]) => setWidth(Math.floor(entry.contentRect.width)));
    watch.observe(place.current);
    return () => watch.disconnect();
  }, []);
  const edges = ["bottom", "top"].map((side) => edgeText(answer, side, reader));
  const element = width > 0 && windowChart(
    { ...answer, welds: answer.welds ?? [] },
    {
      unit: unitFor("temperature", reader.units),
      point: pointOf(answer),
      welds: drawn(),
      width,
      title: reader.say("chart.title"),
      description: edges.join(" "),
      say: reader.say,
    },
  );
  return html`<div class="chart" ref=${place}>${element && html`<${Placed} element=${element} />`}</div>
    <ul class="edges" role="list">${edges.map((edge, n) => html`<li class=${n ? "top" : "bottom"}>${edge}</li>`)}</ul>`;
}

// Who worked it out: with no signal the phone did, and says so.
export function Whose({ stands }) {
  const { say } = useReader();
  if (stands.by === "server") return html`<p class="whose">${say("by.server")}</p>`;
  const isThin = stands.answer && stands.answer.sure === false;
  return html`<p class="whose phone"><${Shape} name="note" /><span>${say("by.phone")}${isThin ? ` ${say("by.thin")}` : ""}${stands.isOwn === false ? ` ${say("by.other_table")}` : ""}</span></p>`;
}

export function WindowView({ stands, isOpen = false }) {
  const reader = useReader();
  const { say } = reader;
  const { answer } = stands;
  const point = pointOf(answer);
  return html`
    <p class="verdict"><strong>${say(`verdict.${answer.verdict}`)}</strong></p>
    <${Whose} stands=${stands} />
    ${point && html`<div class=${answer.certified ? "blade" : "blade guess"}>
      <p class="blade-name">${say(answer.certified ? "set_point" : "set_point.guess")}</p>
      <${Setting} of=${point} id="set-point" />
      <p class="blade-chance">${say("chance", { chance: percent(point.p_sound, say) })}</p>
    </div>`}
    ${answer.cautions?.length > 0 && html`<p class="heed test">${answer.cautions[0].says}</p>`}
    <details class="window" open=${isOpen}>
      <summary>${say("chart.title")}</summary>
      <${Chart} answer=${answer} />
    </details>`;
}
