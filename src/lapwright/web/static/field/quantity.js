// Readings as typed, {typed, unit, how}, and what they come to in SI. No page, no storage.

import { convert, numberIn, rounded, spelt, withUnit } from "../units.js";

const OF_SYSTEM = {
  us: { temperature: "f", speed: "ft_min", length: "ft", width: "in", thickness: "mil", force: "lbf" },
  metric: { temperature: "c", speed: "m_min", length: "m", width: "mm", thickness: "mm", force: "n" },
};
const EVERYWHERE = { volts: "v", power: "kw", share: "percent", time: "min" };

export const unitFor = (quantity, system) => EVERYWHERE[quantity] ?? OF_SYSTEM[system][quantity];

export const reading = (typed, unit, how = "set") => ({ typed: String(typed), unit, how });

// SI value; null when nobody knows, and of a mark on a dial.
export function si(measure) {
  if (!measure || measure.unit === "dial") return null;
  const value = numberIn(measure.typed);
  return Number.isFinite(value) ? convert(value, measure.unit, null) : null;
}

export const fromSi = (value, unit) => convert(value, null, unit);

// Text for a person, in the person's unit; a dial mark and what is not known stay what they are.
export function written(measure, quantity, { units, say }) {
  if (!measure) return say("unknown");
  if (measure.unit === "dial") return say("dial_mark", { mark: measure.typed });
  const unit = unitFor(quantity, units);
  if (unit === measure.unit) return withUnit(numberIn(measure.typed), unit, say);
  return writtenSi(si(measure), quantity, { units, say });
}

export function writtenSi(value, quantity, { units, say }) {
  if (value === null || value === undefined) return say("unknown");
  const unit = unitFor(quantity, units);
  return withUnit(fromSi(value, unit), unit, say);
}

// Along a seam whole feet, or tenths of a metre, are as good as anybody can read.
export const alongSeam = (metres, units) =>
  rounded(fromSi(metres, unitFor("length", units)), unitFor("length", units), units === "metric" ? 1 : 0);

export const lengthText = (metres, { units, say }) =>
  `${spelt(alongSeam(metres, units), say)} ${units === "metric" ? "m" : "ft"}`;
