// What the page knows and how it changes. No page here: storage is handed in.
// Nothing typed is thrown away: a weld taken out stays in the list, marked; a list that is
// replaced stays as the earlier one and can be swapped back.

import { nowStated } from "./present.js";
import { rowsOf } from "./rows.js";
import { numberIn, stepped, unitOf } from "./units.js";

const PLACE = "lapwright.morning.1";
const DRAFT_MEASURES = ["air", "speed", "ambient", "sheet"];
const USUAL = {
  air: { value: "700", unit: "f" },
  speed: { value: "10", unit: "ft_min" },
  ambient: { value: "80", unit: "f" },
  sheet: { value: "85", unit: "f" },
};
const STEPS = { air: { f: 10, c: 5 }, speed: { ft_min: 0.5, m_min: 0.1 } };
const STEP_OF_DAY = { f: 5, c: 2 };

const noStrips = () => ["", "", ""];

function fresh(lang) {
  return {
    lang,
    units: "us",
    started: false,
    membrane: "tpo",
    welds: [],
    earlier: null, // {welds, draft} that another list took the place of
    draft: { air: null, speed: null, ambient: null, sheet: null, pulls: noStrips(), heat: "" },
    now: {}, // what was said of this moment, see present.js
    answer: null, // {body, at, asked}
  };
}

export function load(storage, lang) {
  try {
    return { ...fresh(lang), ...JSON.parse(storage.getItem(PLACE) ?? "{}") };
  } catch {
    return fresh(lang); // storage refused or spoilt: start anew rather than not at all
  }
}

// False when the browser refuses to keep: the page then says so.
export function save(storage, state) {
  try {
    storage.setItem(PLACE, JSON.stringify(state));
    return true;
  } catch {
    return false;
  }
}

export const inView = (state) => state.welds.filter((weld) => !weld.out);

export function nextName(state) {
  const numbers = state.welds.map((weld) => Number(weld.name)).filter(Number.isFinite);
  return String(Math.max(0, ...numbers) + 1);
}

// Before the first weld the conditions come from the form.
export function question(state) {
  const start = { membrane: state.membrane };
  for (const measure of ["speed", "sheet", "ambient"]) {
    const typed = state.draft[measure];
    if (Number.isFinite(numberIn(typed?.value))) {
      start[`${measure}_${typed.unit}`] = String(numberIn(typed.value));
    }
  }
  const { units, lang } = state;
  const rows = rowsOf(inView(state));
  const now = nowStated(state.now);
  return { rows, start: rows.length ? { membrane: state.membrane } : start, now, units, lang };
}

// Without a weld and without a temperature there is nothing to ask yet.
export function isAskable({ rows, start }) {
  const isWarmth = (name) => name.startsWith("ambient_") || name.startsWith("sheet_");
  return rows.length > 0 || Object.keys(start).some(isWarmth);
}

export function type(state, measure, text) {
  state.draft[measure] = { value: text, unit: unitOf(measure, state.units) };
}

// In steps that a machine can set.
export function step(state, measure, direction) {
  const unit = unitOf(measure, state.units);
  const size = (STEPS[measure] ?? {})[unit] ?? STEP_OF_DAY[unit];
  const usual = USUAL[measure];
  state.draft[measure] = stepped(state.draft[measure], { unit, size, usual, direction });
}

// What still has to be answered before the weld can be added, in the order of the form.
export function missing(state) {
  const { draft } = state;
  const isNumber = (measure) => Number.isFinite(numberIn(draft[measure]?.value));
  const gaps = ["air", "speed", "ambient"].filter((measure) => !isNumber(measure));
  if (draft.sheet?.value && !isNumber("sheet")) gaps.push("sheet");
  if (!draft.pulls.some(Boolean)) gaps.push("pulls");
  if (!draft.heat) gaps.push("heat");
  return gaps;
}

export function addWeld(state) {
  const { draft } = state;
  const overheat = draft.heat === "not_looked" ? "" : draft.heat;
  const weld = { name: nextName(state), origin: "typed" };
  for (const measure of DRAFT_MEASURES) {
    const typed = draft[measure];
    weld[measure] = typed?.value ? { ...typed, value: String(numberIn(typed.value)) } : null;
  }
  weld.strips = draft.pulls
    .map((pull, index) => ({ strip: String(index + 1), pull, overheat: "" }))
    .filter((strip) => strip.pull);
  weld.strips[0].overheat = overheat; // one look at the weld is one look, not one per strip
  state.welds.push(weld);
  Object.assign(draft, { pulls: noStrips(), heat: "" });
  state.started = true;
  return weld;
}

export function setOut(state, name, out) {
  state.welds.find((weld) => weld.name === name).out = out;
}

const isExample = (weld) => weld.origin === "example";

function isOwn({ welds, draft }) {
  const isTyped = DRAFT_MEASURES.some((measure) => draft[measure]) || draft.pulls.some(Boolean);
  return welds.some((weld) => !isExample(weld)) || (isTyped && !welds.length);
}

// The form goes on from the last weld of the new list; invented conditions do not stay behind.
export function replaceWelds(state, welds) {
  const { draft } = state;
  const last = welds.at(-1);
  if (isOwn(state)) state.earlier = { welds: state.welds, draft };
  if (last || state.welds.some(isExample)) {
    const { speed, ambient, sheet } = last ?? {};
    state.draft = { ...fresh().draft, speed, ambient, sheet };
  }
  state.welds = welds;
  state.started = true;
}

export function swapEarlier(state) {
  const { welds, draft } = state;
  const earlier = isOwn(state) ? { welds, draft } : null;
  Object.assign(state, state.earlier, { earlier });
}
