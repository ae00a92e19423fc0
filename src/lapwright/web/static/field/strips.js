// What the strips and looks of a test weld or cut say: the worse strip governs, heat signs fail a
// weld that no pull could fault, and what nobody looked at is not "no". The server's rules.

import { si } from "./quantity.js";

export const PULLS = ["cold", "partial", "full", "skin", "break", "split", "invalid"];
export const SIGNS = ["smoke", "scorch", "glaze", "bubbles", "thinned", "scrim_print", "brittle"];
export const CORNERS = ["holds", "opens", "bare_scrim", "grey_core"];

const WORST_FIRST = ["cold", "skin", "partial", "split", "break", "full", "invalid"];
const FAILS = ["cold", "skin", "partial", "split"];
const TOO_HOT = ["bare_scrim", "grey_core"]; // of the corner pulled while hot

// "none" only when every sign and the corner were looked at and nothing was seen.
export function heatOf(looks) {
  const bodies = looks.map(({ body }) => body);
  if (bodies.some((look) => TOO_HOT.includes(look.corner) || SIGNS.some((sign) => look[sign]))) return "signs";
  const isWhole = [...SIGNS, "corner"].every((name) => bodies.some((look) => (look[name] ?? null) !== null));
  return isWhole ? "none" : null;
}

// One strip of each number, the worse grade where two people looked.
export function worseOfEach(strips) {
  const worst = new Map();
  const badness = ({ body }) => WORST_FIRST.indexOf(body.pull);
  for (const strip of strips) {
    const other = worst.get(strip.body.number);
    if (!other || badness(strip) < badness(other)) worst.set(strip.body.number, strip);
  }
  const number = ({ body }) => body.number;
  return [...worst.values()].sort((a, b) => number(a).length - number(b).length || (number(a) < number(b) ? -1 : 1));
}

// {verdict: passed, failed or unfinished, heat, strips} of a weld.
export function resultOf(record, weld, rules) {
  const strips = worseOfEach(record.all("strip").filter(({ body }) => body.of === weld.id));
  const heat = heatOf(record.all("hot_look").filter(({ body }) => body.test_weld === weld.id));
  const valid = strips.filter(({ body }) => body.pull !== "invalid");
  const isByHand = record.get(weld.body.machine)?.body.type === "hand";
  const least = isByHand ? rules.fused_width_hand : rules.fused_width;
  const bands = valid.map(({ body }) => si(body.band));
  const failed =
    heat === "signs" ||
    valid.some(({ body }) => FAILS.includes(body.pull) || ["stripes", "one_edge"].includes(body.evenness)) ||
    bands.some((band) => band !== null && band < least - 1e-6);
  const wanted = weld.kind === "test_weld" ? rules.test_weld_strips : 1;
  const isOpen =
    valid.length < wanted ||
    valid.some(({ body }) => body.pull === "break") ||
    (!rules.grade_only && bands.includes(null));
  return { verdict: failed ? "failed" : isOpen ? "unfinished" : "passed", heat, strips };
}
