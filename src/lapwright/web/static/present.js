// What was said of this moment, and when. No page, no storage.
// Weather and the last test grow old; cord, generator and volts stay until somebody changes them.

import { numberIn, rounded, stepped, unitOf } from "./units.js";

export const OF_WEATHER = ["sheet", "ambient", "humidity", "since_test"];
export const OF_POWER = ["cord_length", "generator", "volts"];

const STEPS = {
  sheet: { f: 1, c: 1 },
  ambient: { f: 1, c: 1 },
  humidity: { percent: 5 },
  since_test: { h: 0.5 },
  cord_length: { ft: 25, m: 5 },
  generator: { kw: 0.5 },
  volts: { v: 1 },
};
const USUAL = {
  sheet: { value: "85", unit: "f" },
  ambient: { value: "80", unit: "f" },
  humidity: { value: "50", unit: "percent" },
  since_test: { value: "1", unit: "h" },
  cord_length: { value: "100", unit: "ft" },
  generator: { value: "10", unit: "kw" },
  volts: { value: "220", unit: "v" },
};

const isSaid = (quantity) => Number.isFinite(numberIn(quantity?.value));

// As the machine that computes wants it; what is no number is not said.
export function nowStated(now) {
  const stated = now.cord ? { cord: now.cord } : {};
  for (const measure of [...OF_WEATHER, ...OF_POWER].filter((name) => isSaid(now[name]))) {
    const { value, unit } = now[measure];
    stated[unit === "v" ? measure : `${measure}_${unit}`] = String(numberIn(value));
  }
  return stated;
}

export function typeNow(state, measure, text, at) {
  state.now[measure] = { value: text, unit: unitOf(measure, state.units), at };
}

// From empty the first tap takes over what the last test weld met, where it is known.
export function stepNow(state, measure, direction, at) {
  const unit = unitOf(measure, state.units);
  const usual = isSaid(state.draft[measure]) ? state.draft[measure] : USUAL[measure];
  const size = STEPS[measure][unit];
  const next = stepped(state.now[measure], { unit, size, usual, direction });
  if (numberIn(next.value) >= 0 || unit === "c" || unit === "f") state.now[measure] = { ...next, at };
}

export function pickCord(state, name) {
  state.now.cord = name;
}

// When the oldest of the weather was said; null when none was.
export function saidAt(now) {
  const times = OF_WEATHER.filter((name) => isSaid(now[name])).map((name) => now[name].at);
  return times.length ? times.sort()[0] : null;
}

const HOUR = 3_600_000; // ms

// The weather is still so; the last test has moved into the past since.
export function sayStillSo(state, at) {
  for (const measure of OF_WEATHER.filter((name) => isSaid(state.now[name]))) {
    const said = state.now[measure];
    const passed = measure === "since_test" ? (new Date(at) - new Date(said.at)) / HOUR : 0;
    const value = passed ? rounded(numberIn(said.value) + passed, said.unit) : said.value;
    state.now[measure] = { ...said, value, at };
  }
}
