// What each foot of seam is, as the map draws it: one state a foot, the gravest first. Pure.

import { defectsOf, seamsOf } from "../seams.js";
import { si } from "../quantity.js";

export const GRAVEST_FIRST = ["defect", "suspect", "orphan", "stale", "repaired", "bare", "welded", "proved", "probed"];
export const TROUBLES = GRAVEST_FIRST.slice(0, 4); // what somebody has to look into

const NEAR = 0.06; // m; the server writes stations to a tenth: closer ones are one
const FOOT = 0.3048; // m; a defect nobody measured takes a foot, as on the server
export const metres = (figures, name) => figures[`${name}_m`] ?? figures[`${name}_ft`] * FOOT;

// A stretch as the server traced it, doubts left out: they lie over it.
function traced(stretch) {
  const has = (code) => stretch.states.some((state) => state.code === code);
  if (has("open_defect")) return "defect";
  if (has("orphan")) return "orphan";
  if (has("stale") || has("set_aside")) return "stale";
  if (has("bare")) return "bare";
  if (stretch.defects.length) return "repaired";
  return has("unprobed") ? "proved" : "probed";
}

const gravest = (states) => GRAVEST_FIRST.find((state) => states.includes(state));
const over = (from, to) => ([a, b]) => a < to - NEAR / 2 && b > from + NEAR / 2;

// Half-open pieces between all stations where anything begins or ends.
function pieces(spans) {
  const marks = spans.flat().sort((one, other) => one - other);
  const apart = marks.filter((mark, n) => n === 0 || mark - marks[n - 1] > NEAR);
  return apart.slice(1).map((to, n) => [apart[n], to]);
}

// What the phone knows and the server has not traced yet: runs, and open defects.
function ownBySeam(record, answered) {
  const runs = new Map(seamsOf(record).map(({ name, welded }) => [name, welded]));
  const told = new Set([...answered.values()].flatMap((stretches) =>
    stretches.flatMap((stretch) => (stretch.defects ?? []).map(({ id }) => id))));
  const defects = new Map();
  for (const { defect, state } of defectsOf(record)) {
    const from = si(defect.body.station);
    if (state === "closed" || told.has(defect.id) || from === null) continue;
    const span = [from, from + Math.max(si(defect.body.length) ?? 0, FOOT)];
    defects.set(defect.body.seam, [...(defects.get(defect.body.seam) ?? []), span]);
  }
  return { runs, defects };
}

function seamPieces({ planned, stretches, welded, defects, doubts }) {
  const placed = stretches.map((stretch) => ({ span: [metres(stretch, "start"), metres(stretch, "end")], stretch }));
  const within = [...planned, ...placed.map(({ span }) => span), ...welded, ...defects];
  // A curb leaves a gap in a seam, and a run that goes on behind it does not lie on the curb.
  const isGap = (from, to) => planned.length > 0 && !planned.some(over(from, to)) &&
    from >= planned[0][0] && to <= planned.at(-1)[1];
  return pieces([...within, ...doubts.map(({ span }) => span)])
    .filter(([from, to]) => within.some(over(from, to)) && !isGap(from, to))
    .map(([from, to]) => {
      const isHere = over(from, to);
      const stretch = placed.find(({ span }) => isHere(span))?.stretch ?? null;
      const known = stretch ? traced(stretch) : "bare";
      const isNewer = known === "bare" && welded.some(isHere);
      const doubt = doubts.filter(({ span }) => isHere(span)).map(({ failure }) => failure);
      const states = [
        isNewer ? "welded" : known,
        ...(doubt.length ? ["suspect"] : []),
        ...(defects.some(isHere) ? ["defect"] : []),
      ];
      return { from, to, state: gravest(states), stretch, isNewer, doubt };
    });
}

// By seam, its pieces from one end to the other: {from, to, state, stretch, isNewer, doubt}.
// planned: Map of seam to spans; trace, suspects: the server's answers or null.
export function rooftop({ planned, record, trace, suspects }) {
  const answered = new Map((trace?.seams ?? []).map(({ seam, stretches }) => [seam, stretches]));
  const own = ownBySeam(record, answered);
  const doubts = new Map();
  for (const { failure, closed, spans } of suspects?.doubts ?? []) {
    if (closed) continue;
    for (const each of spans) {
      const doubt = { failure, span: [metres(each, "start"), metres(each, "end")] };
      doubts.set(each.seam, [...(doubts.get(each.seam) ?? []), doubt]);
    }
  }
  const names = new Set([...planned.keys(), ...answered.keys(), ...own.runs.keys(), ...own.defects.keys()]);
  return new Map([...names].map((name) => [name, seamPieces({
    planned: planned.get(name) ?? [],
    stretches: answered.get(name) ?? [],
    welded: own.runs.get(name) ?? [],
    defects: own.defects.get(name) ?? [],
    doubts: doubts.get(name) ?? [],
  })]));
}

// Neighbours of one state become one span, to be drawn.
export function spansOf(found) {
  const spans = [];
  for (const { from, to, state } of found) {
    const last = spans.at(-1);
    if (last && last.state === state && from - last.to < NEAR) last.to = to;
    else spans.push({ from, to, state });
  }
  return spans;
}

// Metres in each state, the gravest first; states that nothing is in are left out.
export function lengths(found) {
  const sums = new Map();
  for (const { from, to, state } of found) sums.set(state, (sums.get(state) ?? 0) + to - from);
  return GRAVEST_FIRST.filter((state) => sums.has(state)).map((state) => [state, sums.get(state)]);
}

export const worstOf = (found) => gravest(found.map(({ state }) => state)) ?? "bare";
