// The roof plan as a drawing in pixels: areas, openings and seams of the newest plan of each
// area; levels lie below each other. Pure.

const BETWEEN = 0.1; // of the height, between two levels
const isPlace = (pair) => Array.isArray(pair) && pair.length === 2 && pair.every(Number.isFinite);
const isSpan = (span) => isPlace(span) && span[0] < span[1];

// Plans that people wrote by hand may lack anything: what cannot be drawn is left out.
const seamsIn = ({ seams }) =>
  (Array.isArray(seams) ? seams : []).filter((seam) => typeof seam?.id === "string" && Array.isArray(seam.spans) && seam.spans.every(isSpan));
const ringIn = (corners) => (Array.isArray(corners) ? corners.filter(isPlace) : []);

export function newestPlans(record) {
  const plans = new Map();
  for (const { body } of record.all("plan")) plans.set(body.area, body);
  return [...plans.values()];
}

// Where each planned seam is: Map of seam to spans, in the order of the plan.
export const plannedSpans = (plans) =>
  new Map(plans.flatMap((plan) => seamsIn(plan).map(({ id, spans }) => [id, spans])));

export const jointsOf = (plans) =>
  new Map(plans.flatMap((plan) => seamsIn(plan).map(({ id, t_joints: joints }) => [id, Array.isArray(joints) ? joints : []])));

function boundsOf(rings) {
  const places = rings.flat();
  const [xs, ys] = [places.map(([x]) => x), places.map(([, y]) => y)];
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}

// {width, height, areas, seams} in metres with y growing downwards; null when nothing can be
// drawn. A seam's at(station) is its place.
export function drawingOf(plans) {
  const levels = new Map();
  for (const plan of plans) {
    const outline = ringIn(plan.outline);
    if (outline.length < 3) continue;
    const level = plan.level ?? "";
    levels.set(level, [...(levels.get(level) ?? []), { plan, outline }]);
  }
  if (!levels.size) return null;
  const drawn = { width: 0, height: 0, areas: [], seams: [] };
  for (const within of levels.values()) {
    const { left, right, bottom, top } = boundsOf(within.map(({ outline }) => outline));
    if (drawn.height) drawn.height *= 1 + BETWEEN;
    const shift = drawn.height;
    const place = ([x, y]) => [x - left, top - y + shift];
    for (const { plan, outline } of within) {
      const openings = (Array.isArray(plan.openings) ? plan.openings : [])
        .map(({ kind, corners }) => ({ kind, corners: ringIn(corners).map(place) }))
        .filter(({ corners }) => corners.length);
      drawn.areas.push({ name: plan.area, outline: outline.map(place), openings });
      for (const { id, kind, origin, heading, spans } of seamsIn(plan)) {
        if (!isPlace(origin) || !isPlace(heading)) continue;
        const at = (station) => place([origin[0] + station * heading[0], origin[1] + station * heading[1]]);
        drawn.seams.push({ id, kind, spans, at });
      }
    }
    drawn.width = Math.max(drawn.width, right - left);
    drawn.height = shift + top - bottom;
  }
  return drawn;
}

// Least distance between neighbouring side laps, as a row is wide. [m]
export function pitchOf({ seams, width, height }) {
  const sides = seams.filter(({ kind }) => kind !== "end").map(({ at }) => [at(0), at(1)]);
  const gaps = sides.slice(1).map(([[x, y]], n) => {
    const [[x0, y0], [x1, y1]] = sides[n];
    return Math.abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0));
  }).filter((gap) => gap > 0.3);
  return gaps.length ? Math.min(...gaps) : Math.max(width, height) / 10;
}

function distance([x, y], [ax, ay], [bx, by]) {
  const [dx, dy] = [bx - ax, by - ay];
  const along = dx || dy ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy))) : 0;
  return Math.hypot(x - ax - along * dx, y - ay - along * dy);
}

// The seam nearest to a place, no further away than `within`; null when there is none. [m]
export function nearestSeam(seams, place, within) {
  const far = seams.map(({ id, spans, at }) =>
    [Math.min(...spans.map(([from, to]) => distance(place, at(from), at(to)))), id]);
  const [gap, id] = far.reduce((best, each) => (each[0] < best[0] ? each : best), [Infinity, null]);
  return gap <= within ? id : null;
}
