// The answer: verdict, set point, what to weld next, the chart and its table.

import { windowChart } from "./chart.js";
import { h } from "./dom.js";
import { heatIcon, stripIcon } from "./marks.js";
import { heatOf } from "./rows.js";
import { SYMBOLS, quantityText, unitOf, withUnit } from "./units.js";

// Words for a chance, after the calibrated language of the climate panel (Mastrandrea and
// others, 2010, table 1; from memory).
const CHANCES = [
  [0.9, "chance.very_likely"],
  [0.66, "chance.likely"],
  [0.33, "chance.open"],
  [0, "chance.unlikely"],
];

const chanceWord = (p, say) => say(CHANCES.find(([least]) => p >= least)[1]);

// Never 0 or 100: few strips cannot say so.
const percent = (p, say) =>
  p > 0.99 ? say("percent.over") : p < 0.01 ? say("percent.under") : `${Math.round(p * 100)} %`;

// Said in the form, where the hands are, so not among the doubts.
const SAFETY = ["hot_strips", "fumes"];
const doubts = ({ cautions = [] }) => cautions.filter(({ code }) => !SAFETY.includes(code));

// Reads one answer in the unit system it was made in.
function reading(units, say) {
  const air = unitOf("air", units);
  const speed = unitOf("speed", units);
  const of = (unit) => (thing, name) => thing?.[`${name}_${unit}`] ?? null;
  return {
    air,
    temperature: of(air),
    speed: of(speed),
    airText: (thing, name) => withUnit(of(air)(thing, name), air, say),
    speedText: (thing, name = "speed") => withUnit(of(speed)(thing, name), speed, say),
  };
}

// Where no setting holds, none is shown: a large figure would invite somebody to use it.
const DO_NOT_WELD = ["no_window", "saturated"];
const pointOf = ({ verdict, set_point: point }) => (DO_NOT_WELD.includes(verdict) ? null : point);

// What this moment forbids or asks for, even when it was said a while ago: it stands above any
// setting, and where it stands nobody reads that testing is done.
const gateOf = ({ now }) => [now?.dew, now?.holds].find((row) => row?.state === "stop");

function blade(answer, read, say) {
  const point = pointOf(answer);
  if (!point) return null;
  const margin = (side) => {
    const room = read.temperature(point, `margin_${side}`);
    if (room === null) return say(`margin.${side}_unknown`);
    const key = room < 0 ? `margin.${side}_past` : `margin.${side}`;
    return say(key, { room: withUnit(Math.abs(room), read.air, say) });
  };
  return [
    h(
      "div",
      { class: !answer.certified ? "blade guess" : gateOf(answer) ? "blade halted" : "blade" },
      h("p", { class: "blade-name" }, say(answer.certified ? "set_point" : "set_point.guess")),
      h(
        "p",
        { class: "blade-setting", id: "set-point" },
        h("span", {}, read.airText(point, "air")),
        " ", // for those who hear it
        h("span", {}, read.speedText(point)),
      ),
      h("p", { class: "blade-chance" }, chanceWord(point.p_sound, say), h("b", {}, percent(point.p_sound, say))),
    ),
    h("ul", { class: "margins" }, ["bottom", "top"].map((side) => h("li", {}, margin(side)))),
  ];
}

function nextWeld(answer, read, say, onfill) {
  const { next } = answer;
  const setting = { air: read.airText(next, "air"), speed: read.speedText(next) };
  const why = say("next.reason", { reason: next.reason });
  if (next.done) return h("p", { class: "next" }, stopped(answer, why, say));
  return h(
    "div",
    { class: "next" },
    h("p", {}, h("b", {}, say("next", setting)), ` ${why} ${answer.do}`),
    h("button", { type: "button", id: "fill-next", onclick: () => onfill(next) }, say("next.fill")),
  );
}

// Three ways to stop testing: found, hopeless as it stands, little left to learn.
function stopped(answer, why, say) {
  if (answer.certified) return [h("b", {}, say("next.done")), ` ${answer.do}`];
  if (DO_NOT_WELD.includes(answer.verdict)) return [h("b", {}, say("next.change")), ` ${answer.do}`];
  return [h("b", {}, say("next.enough")), ` ${why}`];
}

function more(answer, read, say) {
  const { policies = {}, fastest, changes_most: changes = [] } = answer;
  const setting = (point) =>
    `${read.airText(point, "air")}, ${read.speedText(point)} (${percent(point.p_sound, say)})`;
  const ways = pointOf(answer) ? Object.entries(policies).filter(([, point]) => point) : [];
  const rows = [
    ...ways.map(([name, point]) => [say(`policy.${name}`), setting(point)]),
    ...(fastest ? [[say("policy.fastest"), setting(fastest)]] : []),
  ];
  const drift = pointOf(answer)?.p_sound_drift;
  return h(
    "details",
    { id: "more" },
    h("summary", {}, say("more")),
    doubts(answer).slice(1).map((caution) => h("p", { class: "caution" }, caution.says)),
    drift === undefined || drift === null ? null : h("p", {}, say("drift", { chance: percent(drift, say) })),
    changes.length ? h("h3", {}, say("changes")) : null,
    h("ul", {}, changes.map(({ says, p_sound: p }) => h("li", {}, `${says}: ${percent(p, say)}`))),
    rows.length ? h("h3", {}, say("policies")) : null,
    h("dl", {}, rows.map(([name, text]) => [h("dt", {}, name), h("dd", {}, text)])),
    h("p", {}, say("no_promise")),
  );
}

export function answerParts(answer, { units, say, onfill }) {
  const read = reading(units, say);
  const [caution] = doubts(answer);
  const gate = gateOf(answer);
  const isDone = answer.next.done && !(gate && answer.certified);
  return [
    h("h2", { id: "verdict" }, answer.says),
    gate ? h("p", { class: "safety", id: "gate" }, gate.says) : null,
    answer.next.done ? null : nextWeld(answer, read, say, onfill), // what to do stands first
    blade(answer, read, say),
    caution ? h("p", { class: "caution" }, caution.says) : null,
    isDone ? nextWeld(answer, read, say, onfill) : null,
    more(answer, read, say),
  ];
}

// One line for those who cannot see the page change.
export function spoken(answer, units, say) {
  const read = reading(units, say);
  const point = pointOf(answer);
  const setting = (thing) => ({ air: read.airText(thing, "air"), speed: read.speedText(thing) });
  return [
    answer.says,
    point ? say("spoken.set_point", { ...setting(point), chance: percent(point.p_sound, say) }) : "",
    answer.next.done ? "" : say("next", setting(answer.next)),
  ].join(" ");
}

function edgeText(answer, side, read, say) {
  const [low, mid, high] = ["low", "mid", "high"].map((name) => read.temperature(answer[side], name));
  const text = (value) => (value === null ? "" : withUnit(value, read.air, say));
  const open = low === null ? (high === null ? "unknown" : "below") : high === null ? "above" : "between";
  const values = { low: text(low), mid: text(mid), high: text(high) };
  return say(`edge.${open}`, { ...values, edge: say(`edge.${side}`) });
}

function edgeTexts(answer, units, say) {
  const read = reading(units, say);
  return ["bottom", "top"].map((side) => edgeText(answer, side, read, say));
}

const conditions = (answer, read, say) =>
  say("chart.conditions", {
    speed: read.speedText(answer.conditions),
    ambient: read.airText(answer.conditions, "ambient"),
    sheet: read.airText(answer.conditions, "sheet"),
  });

const headed = (names, rows) =>
  h(
    "table",
    {},
    h("thead", {}, h("tr", {}, names.map((name) => h("th", { scope: "col" }, name)))),
    h("tbody", {}, rows.map(([first, ...cells]) =>
      h("tr", {}, h("th", { scope: "row" }, first), cells.map((cell) => h("td", {}, cell))),
    )),
  );

function tables(answer, read, welds, say) {
  const airs = read.temperature(answer.curve, "air");
  const every = Math.max(1, Math.round(airs.length / 12));
  const points = airs.flatMap((air, n) =>
    n % every ? [] : [[withUnit(air, read.air, say), percent(answer.curve.p_sound[n], say)]],
  );
  return h(
    "details",
    { id: "chart-table" },
    h("summary", {}, say("chart.table")),
    welds.length
      ? headed(
          [say("weld"), say("air"), say("strips"), say("heat")],
          welds.map((weld) => [
            weld.name,
            quantityText(weld.measured_air ?? weld.air, read.air, say),
            weld.strips.map(({ pull }) => say(`pull.${pull}`)).join(", "),
            say(`heat.${heatOf(weld) || "not_looked"}`),
          ]),
        )
      : null,
    headed([say("air"), say("chart.chance")], points),
  );
}

function legend(say) {
  const entries = [
    ...["cold", "partial", "full"].map((pull) => [stripIcon(pull), say(`pull.${pull}`)]),
    ...["signs", "none", ""].map((heat) => [heatIcon(heat), say(`legend.heat.${heat || "not_looked"}`)]),
  ];
  return h("ul", { class: "legend" }, entries.map(([icon, name]) => h("li", {}, icon, name)));
}

export function chartParts(answer, { units, welds, width, say }) {
  const read = reading(units, say);
  const edges = edgeTexts(answer, units, say);
  const title = say("chart.title");
  const description = [conditions(answer, read, say), ...edges].join(" ");
  return [
    h("h2", {}, title),
    h("p", { class: "hint" }, say("chart.axis", { unit: SYMBOLS[read.air] }), " ", conditions(answer, read, say)),
    windowChart(answer, { unit: read.air, point: pointOf(answer), welds, width, title, description, say }),
    legend(say),
    h("ul", { class: "edges" }, edges.map((edge, n) => h("li", { class: n ? "top" : "bottom" }, edge))),
    tables(answer, read, welds, say),
  ];
}
