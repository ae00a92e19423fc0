// Power, dew and validity beside the window, and the form that says what it is now.

import { choice, h, s } from "./dom.js";
import { stepper } from "./fields.js";
import { OF_POWER, OF_WEATHER, saidAt } from "./present.js";
import { spelt } from "./units.js";

const ROWS = ["power", "dew", "holds"];
const AGEING = ["dew", "holds"];
const CORDS = {
  us: [16, 14, 12, 10, 8].map((size) => ({ key: `${size}-awg`, name: `${size} AWG` })),
  metric: [1.5, 2.5, 4, 6, 10, 16].map((size) => ({ key: `${size}-mm2`, name: `${size} mm2` })),
};
const MINUTE = 60_000; // ms

// The shape says it, the colour repeats it: ring with tick, triangle, stop sign, dashed ring.
const SHAPES = {
  good: () => [s("circle", { cx: 16, cy: 16, r: 13, class: "sign-paper" }), s("path", { d: "M9 16l5 6l9 -11", class: "sign-line" })],
  care: () => [s("path", { d: "M16 3l14 25h-28z", class: "sign-tape" }), s("path", { d: "M16 11v9m0 3v3", class: "sign-line" })],
  stop: () => [s("path", { d: "M10 2h12l8 8v12l-8 8h-12l-8 -8v-12z", class: "sign-hot" }), s("path", { d: "M8 16h16", class: "sign-bar" })],
  not_said: () => [s("circle", { cx: 16, cy: 16, r: 13, class: "sign-open" }), s("text", { x: 16, y: 22, class: "centre" }, "?")],
};
const sign = (state) =>
  s("svg", { class: "sign", viewBox: "0 0 32 32", width: 32, height: 32, "aria-hidden": "true" }, SHAPES[state]());

// A figure and its unit stay on one line.
const bound = (text) => text.replace(/(\d) (?=[°%VWhkmf])/g, "$1\u00a0");

// `since`: when it was so, if that is not now any more.
function row(name, { state, figure, says, notes }, { since, say }) {
  const shown = since && state === "good" ? "not_said" : state;
  const then = since ? `${say("now.then", { time: since })} ` : "";
  return h(
    "li",
    { id: `now-${name}`, class: `now-row ${shown}${since ? " aged" : ""}` },
    sign(shown),
    h("p", { class: "now-head" }, h("b", {}, say(`now.${name}`)), figure ? h("span", { class: "now-figure" }, figure) : null),
    h("p", { class: "now-says" }, then, bound(says), notes.map((note) => h("span", { class: "note" }, ` ${bound(note)}`))),
  );
}

// How old what was said is: nothing said, still good, or to be read again.
function age(answer, { now, clock }) {
  const at = saidAt(now);
  return { at, isAged: at !== null && clock - new Date(at) > answer.good_for_min * MINUTE };
}

export function nowParts(answer, { now, clock, oldSince, time, say, onstillso }) {
  const { at, isAged } = age(answer, { now, clock });
  const minutes = answer.good_for_min;
  const since = (name) => oldSince ?? (isAged && AGEING.includes(name) ? at : null);
  const rowOf = (name) => row(name, answer[name], { since: since(name) && time(since(name)), say });
  return [
    h("h2", { id: "now-title" }, say("now.title")),
    at ? h("p", { class: isAged ? "caution" : "hint" }, say(isAged ? "now.aged" : "now.said_at", { time: time(at), minutes })) : null,
    isAged ? h("div", { class: "buttons" }, h("button", { type: "button", id: "still-so", onclick: onstillso }, say("now.still_so"))) : null,
    h("ul", { class: "now" }, ROWS.map(rowOf)),
  ];
}

// For those who hear the page: only what asks for something.
export const spokenNow = (answer) =>
  ROWS.map((name) => answer[name]).filter(({ state }) => state === "stop").map(({ says }) => says).join(" ");

// Sizes as this crew names them; one picked under the other name stays in sight.
function cordChoice({ now, units }, say, oncord) {
  const every = Object.values(CORDS).flat();
  const picked = every.find(({ name }) => name === now.cord);
  const sizes = CORDS[units].includes(picked) || !picked ? CORDS[units] : [picked, ...CORDS[units]];
  const options = sizes.map(({ key, name }) => ({ key, label: spelt(name, say).replace("mm2", "mm²") }));
  return choice({
    id: "cord",
    legend: say("cord"),
    options: [{ key: "none", label: say("now.none") }, ...options],
    value: picked?.key ?? "none",
    onpick: (key) => oncord(every.find((size) => size.key === key)?.name ?? ""),
  });
}

export function nowEntryParts({ state, say, ontype, onstep, ondone, oncord, onclear }) {
  const { now, units } = state;
  const field = (measure) =>
    stepper(measure, {
      id: `now-${measure}`,
      quantity: now[measure],
      wide: measure === "volts",
      units,
      say,
      ontype,
      onstep,
      ondone,
    });
  return h(
    "details",
    { id: "now-more" },
    h("summary", {}, say("now.enter")),
    h("div", { class: "quantities" }, OF_WEATHER.map(field)),
    h("h3", {}, say("now.power_title")),
    h("p", { class: "safety" }, say("safety.power")),
    cordChoice(state, say, oncord),
    h("div", { class: "quantities" }, OF_POWER.map(field)),
    h("p", { class: "hint" }, say("now.volts_hint")),
    h("button", { type: "button", id: "now-clear", onclick: onclear }, say("now.clear")),
  );
}
