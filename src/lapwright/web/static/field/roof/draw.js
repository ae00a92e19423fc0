// A roof drawn by typing its corners; the server lays out the sheets, and the plan becomes a fact.

import { BigButton, Choice, Measure, Shape, html, signal, useReader, useState } from "../../kit/kit.js";
import { chosen, line, prefs, putAll, record } from "../app.js";
import { Page, Plain, TextField, go } from "../parts.js";
import { post } from "../server.js";
import { drawingOf, newestPlans, plannedSpans } from "./drawing.js";
import { lengthIn } from "./lengths.js";
import { SeamMap } from "./seammap.js";

const ROUND = ["pipe", "drain"]; // one place and a diameter
const RING = () => [["0", "0"], ["", ""], ["", ""], ["", ""]];
const KINDS = ["curb", "wall", "pipe", "drain"];
const [WIDTH, LENGTH, LAP] = [{ value: "10", unit: "ft" }, { value: "100", unit: "ft" }, { value: "6", unit: "in" }]; // common
const RUNS = { long: {}, x: { run_deg: 0 }, y: { run_deg: 90 } };
const fresh = (kind) => ({ kind, corners: ROUND.includes(kind) ? [["", ""]] : RING(), diameter: "" });

// What is drawn lives as long as the page: a look at the map loses nothing. What was typed stays in
// the units it was typed in.
const kept = signal({ job: null });
const laid = signal(null); // the server's last plan
const rolls = signal({ roll_width: WIDTH, roll_length: LENGTH, lap: null, half_rows: "0", run: "long" });

const drawn = () => (kept.value.job === chosen.value.job ? kept.value : { job: chosen.value.job, units: prefs.value.units, area: "A", shapes: [fresh("roof")] });
const set = (changes) => { kept.value = { ...drawn(), ...changes }; laid.value = null; };
const setShape = (n, changes) => set({ shapes: drawn().shapes.map((each, k) => (k === n ? { ...each, ...changes } : each)) });
const setRolls = (changes) => { rolls.value = { ...rolls.value, ...changes }; laid.value = null; };

const isTyped = ([x, y]) => x.trim() !== "" && y.trim() !== "";
const placesOf = ({ corners }, units) => corners.filter(isTyped).map((corner) => corner.map((text) => lengthIn(text, units)));

// Why it cannot be laid out yet; null when it can.
function lacks({ shapes, area, units }, say) {
  if (!area.trim()) return say("draw.area_first");
  for (const shape of shapes) {
    const typed = [...shape.corners.flat(), ...(ROUND.includes(shape.kind) ? [shape.diameter] : [])].filter((text) => text.trim());
    const wrong = typed.find((text) => lengthIn(text, units) === null);
    if (wrong !== undefined) return say("draw.no_length", { text: wrong });
    if (shape.corners.filter(isTyped).length < (ROUND.includes(shape.kind) ? 1 : 3)) return say("draw.few");
  }
  return null;
}

// The corners as the file of a drawing has them, in metres.
function cornersFile({ area, shapes, units }, say) {
  const rows = shapes.flatMap((shape, n) => {
    const isRoof = shape.kind === "roof";
    const diameter = ROUND.includes(shape.kind) ? lengthIn(shape.diameter, units) ?? "" : "";
    return placesOf(shape, units).map(([x, y]) => [shape.kind, isRoof ? "" : `${say(`draw.${shape.kind}`)} ${n}`, area, x.toFixed(4), y.toFixed(4), diameter]);
  });
  return ["kind,name,area,x_m,y_m,diameter_m", ...rows.map((row) => row.join(","))].join("\n");
}

// The outline while it is typed, as a plan without seams.
function sketch({ area, shapes, units }) {
  const whole = shapes.map((shape) => ({ kind: shape.kind, corners: placesOf(shape, units).filter((place) => !place.includes(null)) }));
  const roof = whole.find(({ kind, corners }) => kind === "roof" && corners.length >= 3);
  return roof ? drawingOf([{ area, outline: roof.corners, openings: whole.filter((each) => each !== roof), seams: [] }]) : null;
}

// The seams of a plan, on which nothing is welded yet.
const bare = (plan) => new Map([...plannedSpans(plan?.plans ?? [])].map(([seam, spans]) => [seam, spans.map(([from, to]) => ({ from, to, state: "bare" }))]));

function Corner({ id, name, corner, onchange }) {
  const { say } = useReader();
  return html`<div class="corner">${corner.map((text, axis) => html`<${TextField}
    key=${axis}
    id=${`${id}-${"xy"[axis]}`}
    label=${say(`draw.${"xy"[axis]}`, { corner: name })}
    value=${text}
    oninput=${(typed) => onchange(corner.map((other, k) => (k === axis ? typed : other)))}
  />`)}</div>`;
}

function ShapeFields({ shape, n }) {
  const { say } = useReader();
  const isRound = ROUND.includes(shape.kind);
  const { corners } = shape;
  const name = (k) => (isRound ? say("draw.place") : say("draw.corner", { number: k + 1 }));
  return html`<section class="drawn-shape">
    <h2>${say(`draw.${shape.kind}`)}</h2>
    ${corners.map((corner, k) => html`<${Corner} key=${k} id=${`corner-${n}-${k}`} name=${name(k)} corner=${corner} onchange=${(typed) => setShape(n, { corners: corners.map((other, m) => (m === k ? typed : other)) })} />`)}
    ${isRound && html`<${TextField} id=${`diameter-${n}`} label=${say("draw.diameter")} value=${shape.diameter} oninput=${(diameter) => setShape(n, { diameter })} />`}
    <div class="kit-buttons">
      ${!isRound && html`<${Plain} shape="more" label=${say("draw.more")} onpress=${() => setShape(n, { corners: [...corners, ["", ""]] })} />`}
      ${!isRound && corners.length > 3 && html`<${Plain} shape="less" label=${say("draw.drop", { corner: name(corners.length - 1) })} onpress=${() => setShape(n, { corners: corners.slice(0, -1) })} />`}
      ${shape.kind !== "roof" && html`<${Plain} label=${say("draw.drop_shape")} onpress=${() => set({ shapes: drawn().shapes.filter((_, k) => k !== n) })} />`}
    </div>
  </section>`;
}

function Rolls() {
  const { say } = useReader();
  const { roll_width: width, roll_length: length, lap, half_rows: half, run } = rolls.value;
  const tiles = (keys, label) => keys.map((key) => ({ key, label: label(key) }));
  return html`<h2>${say("draw.sheets")}</h2>
    <${Measure} id="roll-width" label=${say("draw.roll_width")} measure="length" steps=${{ ft: 1, m: 0.5 }} decimals=${2} usual=${WIDTH} quantity=${width} onchange=${(value) => setRolls({ roll_width: value })} />
    <${Measure} id="roll-length" label=${say("draw.roll_length")} measure="length" steps=${{ ft: 5, m: 5 }} decimals=${2} usual=${LENGTH} quantity=${length} onchange=${(value) => setRolls({ roll_length: value })} />
    <${Measure} id="lap" label=${say("draw.lap")} measure="width" steps=${{ in: 0.5, mm: 10 }} usual=${LAP} quantity=${lap} onchange=${(value) => setRolls({ lap: value })} />
    <${Choice} id="half-rows" legend=${say("draw.half_rows")} options=${tiles(["0", "1", "2", "3"], (key) => key)} value=${half} onpick=${(key) => setRolls({ half_rows: key })} />
    <${Choice} id="rows-run" legend=${say("draw.run")} options=${tiles(Object.keys(RUNS), (key) => say(`draw.run.${key}`))} value=${run} onpick=${(key) => setRolls({ run: key })} />`;
}

function asked({ units, say }) {
  const { roll_width: width, roll_length: length, lap, half_rows: half, run } = rolls.value;
  const sizes = { roll_width: width, roll_length: length, lap };
  const said = Object.entries(sizes).filter(([, each]) => each).map(([name, { value, unit }]) => [`${name}_${unit}`, Number(value)]);
  return {
    corners: cornersFile(drawn(), say),
    sizes: Object.fromEntries(said),
    half_rows: Number(half),
    ...RUNS[run],
    units,
    lang: say.lang,
  };
}

function Result({ plan }) {
  const reader = useReader();
  const { say, units } = reader;
  const { total, areas } = plan.figures;
  const [long, wide] = units === "metric" ? ["m", "m2"] : ["ft", "sqft"];
  const number = (value) => Math.round(value).toLocaleString(say.lang === "es" ? "es-MX" : "en-US");
  const length = (name) => `${number(total[`${name}_${long}`])} ${long}`;
  const area = (name) => `${number(total[`${name}_${wide}`])} ${wide === "m2" ? "m²" : "sq ft"}`;
  const conflicts = areas.flatMap((each) => each.conflicts);
  const print = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([plan.svg], { type: "image/svg+xml" }));
    link.download = `lapwright-${drawn().area}.svg`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  };
  return html`<h2 id="plan-result">${say("draw.result")}</h2>
    <ul class="told" role="list">
      <li>${say("draw.roof_of", { area: area("roof_area"), waste: area("waste_area") })}</li>
      <li>${say("draw.sheets_of", { full: total.sheets, half: total.half_sheets })}</li>
      <li>${say("draw.rolls_of", { full: total.rolls, half: total.half_rolls })}</li>
      <li>${say("draw.seam_of", { length: length("seam_length") })}</li>
      <li>${say("draw.hand_of", { length: length("hand_length") })}</li>
      <li>${say("draw.joints_of", { count: total.t_joints })}</li>
    </ul>
    ${conflicts.length > 0 && html`<h2>${say("draw.conflicts")}</h2><ul class="told" role="list">${conflicts.map(({ says }) => html`<li key=${says} class="test"><${Shape} name="test" /><span>${says}</span></li>`)}</ul>`}
    <${Plain} label=${say("draw.print")} onpress=${print} />`;
}

export function Draw() {
  const reader = useReader();
  const { say, units } = reader;
  const [isAsking, setAsking] = useState(false);
  const [refusal, setRefusal] = useState(null);
  const { area, shapes } = drawn();
  const plan = laid.value;
  const lay = async () => {
    setAsking(true);
    const { answer, refusal: why, lost } = await post("api/plan", asked(reader));
    setAsking(false);
    setRefusal(lost ? say("draw.offline") : why?.message ?? null);
    laid.value = answer ?? null;
  };
  const keep = async () => {
    await putAll(plan.plans.map((body) => ["plan", body]));
    go("map");
  };
  const lacking = lacks(drawn(), say) ?? (rolls.value.lap ? null : say("draw.lap_first"));
  const waits = isAsking ? say("draw.planning") : line.value.isOnline ? lacking : say("draw.offline");
  const action = plan
    ? { label: say("draw.keep"), note: say("draw.keep.note"), onpress: keep }
    : { label: say("draw.plan"), waits, onpress: lay };
  const drawing = plan ? drawingOf(plan.plans) : sketch(drawn());
  const isThere = newestPlans(record.value).some((each) => each.area === area.trim());
  return html`<${Page} tab="probe" title=${say("draw.title")} onback=${() => go("map")} action=${action}>
    <p>${say("draw.how")}</p>
    <p class="kit-hint">${say(`draw.hint.${drawn().units}`)}</p>
    ${refusal && html`<p class="heed stop" role="alert"><${Shape} name="stop" /><span>${refusal}</span></p>`}
    ${isThere && html`<p class="heed note"><span>${say("draw.replaces", { area })}</span></p>`}
    ${drawing && html`<${SeamMap} drawing=${drawing} roof=${bare(plan)} chosen=${null} title=${say("map.picture")} onpick=${() => {}} />`}
    ${plan && html`<${Result} plan=${plan} />`}
    <${TextField} id="area" label=${say("draw.area")} hint=${say("draw.area.hint")} value=${area} maxlength="3" oninput=${(typed) => set({ area: typed.toUpperCase() })} />
    ${shapes.map((shape, n) => html`<${ShapeFields} key=${n} shape=${shape} n=${n} />`)}
    <h2>${say("draw.add")}</h2>
    <div class="kit-buttons">${KINDS.map((kind) => html`<${BigButton} key=${kind} label=${say(`draw.${kind}`)} shape="more" onpress=${() => set({ shapes: [...shapes, fresh(kind)] })} />`)}</div>
    <${Rolls} />
  <//>`;
}
