// Lengths as people write them on a roof: feet and inches with marks or a dash, fractions, meters.
// The server's readings/lengths.py reads the same; a number without a mark is in the reader's unit.

import { convert } from "../../units.js";

const NUMBER = "\\d{1,7}(?:\\.\\d{0,6})?";
const FRACTION = "(\\d{1,3})/(\\d{1,3})";
const PLAIN = new RegExp(`^${NUMBER}$`);
const METRIC = new RegExp(`^(${NUMBER})\\s*(mm|m)$`, "i");
const DASHED = new RegExp(`^(\\d{1,7})-(${NUMBER})(?:[ -]${FRACTION})?$`);
const FEET = new RegExp(
  `^(?:(${NUMBER})\\s*(?:'|′|’|ft\\b|pies?\\b)\\s*-?\\s*)?` +
  `(?:(?:(${NUMBER})(?:[\\s-]+${FRACTION})?|${FRACTION})\\s*(?:"|″|”|''|in\\b|pulg\\b))?$`, "i");

// Feet and inches with a fraction; null when somebody read the tape twice, as in 12' 18".
function feetAndInches(feet, inches, top, bottom) {
  if (top !== undefined && (Number(bottom) === 0 || Number(top) >= Number(bottom))) return null;
  const whole = Number(inches ?? 0) + (top === undefined ? 0 : Number(top) / Number(bottom));
  if (feet !== undefined && whole >= 12) return null;
  return convert(Number(feet ?? 0), "ft", null) + convert(whole, "in", null);
}

function unsigned(text, system) {
  if (PLAIN.test(text)) return convert(Number(text), system === "metric" ? "m" : "ft", null);
  const metric = METRIC.exec(text);
  if (metric) return convert(Number(metric[1]), metric[2].toLowerCase(), null);
  const dashed = DASHED.exec(text);
  if (dashed) return system === "us" ? feetAndInches(...dashed.slice(1)) : null;
  const found = text && FEET.exec(text);
  if (!found) return null;
  const [, feet, inches, top, bottom, onlyTop, onlyBottom] = found;
  return feetAndInches(feet, inches, top ?? onlyTop, bottom ?? onlyBottom);
}

// Metres; null when it is no length.
export function lengthIn(written, system) {
  const text = written.trim().replace(/\s+/g, " ").replace(/(\d),(\d)/g, "$1.$2");
  const isBelow = /^[-−]/.test(text);
  const found = unsigned(isBelow ? text.slice(1).trim() : text, system);
  return found === null ? null : (isBelow ? -1 : 1) * found;
}
