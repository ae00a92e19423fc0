// The window as a chart: chance of a sound seam over air temperature, drawn above a tape
// measure that carries the scale; test welds hang from the tape like tags.

import { s } from "./dom.js";
import { heatMark, stripMark } from "./marks.js";
import { heatOf } from "./rows.js";
import { valueIn, withUnit } from "./units.js";

const TOP = 40; // room for the flag of the set point
const PLOT = 160;
const TAPE = 44;
const SIDE = 16;
const TAG = { gap: 30, width: 26, drop: 18, name: 21, strip: 12 };
const TICKS = { f: { small: 10, large: 50, name: 100 }, c: { small: 5, large: 25, name: 50 } };

const at = (x, y) => `${x.toFixed(1)} ${y.toFixed(1)}`;

const PAST = { f: 60, c: 35 }; // shown beyond the outermost of what is known

// Without a curve (the phone's own answer has none) the chart reaches past edges and welds.
function spanOf({ curve, bottom, top }, { unit, point, airs }) {
  if (curve) return [curve[`air_${unit}`][0], curve[`air_${unit}`].at(-1)];
  const ends = [bottom, top].flatMap((edge) => ["low", "mid", "high"].map((name) => edge[`${name}_${unit}`]));
  const known = [...ends, point?.[`air_${unit}`], ...airs].filter(Number.isFinite);
  const [low, high] = known.length ? [Math.min(...known), Math.max(...known)] : unit === "f" ? [600, 1100] : [320, 590];
  return [low - PAST[unit], high + PAST[unit]];
}

// Where things lie across, for one answer in its own unit.
function scaleOf([min, max], unit, width) {
  const x = (air) => SIDE + ((air - min) / (max - min)) * (width - 2 * SIDE);
  const clip = (air) => x(Math.min(max, Math.max(min, air)));
  return { min, max, unit, width, x, clip };
}

const multiples = ({ min, max }, size) => {
  const first = Math.ceil(min / size);
  return Array.from({ length: Math.floor(max / size) - first + 1 }, (_, n) => (first + n) * size);
};

function hatch(id, direction, className) {
  const d = direction > 0 ? "M-2 2l4 -4M0 10l10 -10M8 12l4 -4" : "M-2 8l4 4M0 0l10 10M8 -2l4 4";
  const size = { width: 10, height: 10, patternUnits: "userSpaceOnUse" };
  return s("pattern", { id, ...size }, s("path", { d, class: className }));
}

// An edge: flat where the seam is surely lost, hatched where the edge may lie (9 in 10).
function zone(scale, edge, side) {
  const low = edge.low ?? scale.min;
  const high = edge.high ?? scale.max;
  const band = (from, to, fill) => {
    const x = scale.clip(from);
    const width = Math.max(0, scale.clip(to) - x);
    return s("rect", { x, y: TOP, width, height: PLOT, ...fill });
  };
  const lost = side === "bottom" ? [scale.min, low] : [high, scale.max];
  const middle = edge.mid !== null && edge.mid > scale.min && edge.mid < scale.max;
  return s(
    "g",
    { class: side },
    band(...lost, { class: `${side}-flat` }),
    band(low, high, { class: `${side}-flat` }),
    band(low, high, { fill: `url(#${side}-hatch)` }),
    middle ? s("path", { d: `M${at(scale.x(edge.mid), TOP)}v${PLOT}`, class: `${side}-line` }) : null,
  );
}

function levels(scale) {
  return [0.5, 0.9].map((level) => {
    const y = TOP + PLOT * (1 - level);
    return [
      s("path", { d: `M${SIDE} ${y}H${scale.width - SIDE}`, class: "level" }),
      s("text", { x: SIDE + 4, y: y - 5, class: "halo" }, `${level * 100} %`),
    ];
  });
}

function chance(scale, curve) {
  const points = curve[`air_${scale.unit}`].map((air, n) =>
    at(scale.x(air), TOP + PLOT * (1 - curve.p_sound[n])),
  );
  const d = `M${points.join("L")}`;
  return [s("path", { d, class: "curve-casing" }), s("path", { d, class: "curve" })];
}

function flag(scale, air, { certified, say }) {
  const x = scale.clip(air);
  const label = withUnit(air, scale.unit, say);
  const width = 14 + label.length * 10;
  const left = Math.min(Math.max(x - width / 2, 2), scale.width - width - 2);
  return s(
    "g",
    { class: certified ? "flag" : "flag guess" },
    s("path", { d: `M${at(x, 30)}V${TOP + PLOT}`, class: "pole" }),
    s("rect", { x: left, y: 2, width, height: 28, class: "cloth" }),
    s("text", { x: left + width / 2, y: 22, class: "centre" }, label),
  );
}

function tape(scale) {
  const y = TOP + PLOT;
  const { small, large, name } = TICKS[scale.unit];
  const tick = (air, length) => `M${at(scale.x(air), y)}v${length}`;
  const ticks = [
    ...multiples(scale, small).map((air) => tick(air, 6)),
    ...multiples(scale, large).map((air) => tick(air, 12)),
  ];
  const room = (scale.x(name) - scale.x(0)) / 44; // a name of four figures needs 44 pixels
  const names = multiples(scale, name * Math.max(1, Math.ceil(1 / room)));
  return s(
    "g",
    {},
    s("rect", { x: 0, y, width: scale.width, height: TAPE, class: "tape" }),
    s("path", { d: ticks.join(""), class: "tick" }),
    names.map((air) =>
      s("text", { x: Math.min(Math.max(scale.x(air), 21), scale.width - 21), y: y + 33, class: "centre" }, air),
    ),
  );
}

// Places for tags, each as near to its own as the others allow (pooling neighbours).
export function spread(wanted, { gap, low, high }) {
  const step = Math.min(gap, (high - low) / Math.max(1, wanted.length - 1));
  const pools = [];
  wanted.forEach((place, n) => {
    pools.push({ sum: place - n * step, size: 1 });
    while (pools.length > 1) {
      const [left, right] = pools.slice(-2);
      if (left.sum / left.size <= right.sum / right.size) break;
      pools.splice(-2, 2, { sum: left.sum + right.sum, size: left.size + right.size });
    }
  });
  const last = high - (wanted.length - 1) * step;
  return pools
    .flatMap(({ sum, size }) => Array(size).fill(Math.min(Math.max(sum / size, low), last)))
    .map((place, n) => place + n * step);
}

// A tag hangs where the heat of its weld lies at the conditions of the answer; a weld that
// the answer does not count yet hangs at its own air temperature.
function tags(scale, welds, answer) {
  const counted = new Map(answer.welds.map((each) => [each.weld, each[`air_${scale.unit}`]]));
  const airOf = ({ name, measured_air: measured, air }) =>
    counted.get(name) ?? valueIn(measured ?? air, scale.unit);
  const hung = welds.filter((weld) => Number.isFinite(airOf(weld)));
  hung.sort((one, other) => airOf(one) - airOf(other));
  const half = TAG.width / 2 + 1;
  const wanted = hung.map((weld) => scale.clip(airOf(weld)));
  const places = spread(wanted, { gap: TAG.gap, low: half, high: scale.width - half });
  const y = TOP + PLOT + TAPE;
  return hung.map((weld, n) => tag(weld, { from: wanted[n], x: places[n], y }));
}

function tag(weld, { from, x, y }) {
  const top = y + TAG.drop;
  const heatTop = top + TAG.name + weld.strips.length * TAG.strip + 3;
  return s(
    "g",
    { class: "tag" },
    s("path", { d: `M${at(from, y)}v5L${at(x, top)}`, class: "string" }),
    s("circle", { cx: from, cy: y, r: 4, class: "nail" }),
    s("rect", { x: x - TAG.width / 2, y: top, width: TAG.width, height: heatTop - top + 19, class: "paper" }),
    s("text", { x, y: top + 17, class: "centre" }, weld.name.slice(0, 2)),
    weld.strips.map((strip, n) =>
      stripMark(strip.pull, { x: x - 9, y: top + TAG.name + n * TAG.strip, width: 18, height: 9 }),
    ),
    heatMark(heatOf(weld), { x, y: heatTop }),
  );
}

const edgeIn = (edge, unit) => ({
  low: edge[`low_${unit}`] ?? null,
  mid: edge[`mid_${unit}`] ?? null,
  high: edge[`high_${unit}`] ?? null,
});

export function windowChart(answer, { unit, point, welds, width, title, description, say }) {
  const airs = welds.map((weld) => valueIn(weld.measured_air ?? weld.air, unit));
  const scale = scaleOf(spanOf(answer, { unit, point, airs }), unit, width);
  const strips = Math.max(0, ...welds.map((weld) => weld.strips.length));
  const tagRoom = welds.length ? TAG.drop + TAG.name + strips * TAG.strip + 24 : 0;
  const height = TOP + PLOT + TAPE + tagRoom + 2;
  const bottom = edgeIn(answer.bottom, unit);
  const top = edgeIn(answer.top, unit);
  return s(
    "svg",
    { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-labelledby": "chart-title chart-description" },
    s("title", { id: "chart-title" }, title),
    s("desc", { id: "chart-description" }, description),
    s("defs", {}, hatch("bottom-hatch", 1, "bottom-line"), hatch("top-hatch", -1, "top-line")),
    zone(scale, bottom, "bottom"),
    zone(scale, top, "top"),
    answer.curve ? [levels(scale), chance(scale, answer.curve)] : [],
    point ? flag(scale, point[`air_${unit}`], { certified: answer.certified, say }) : null,
    tape(scale),
    tags(scale, welds, answer),
  );
}
