// What strips tell about the particles of the day's sample table: the server's likelihood, in
// SI. No page, no storage, no network; every constant of the model comes with the table.

const FINE = 128; // cells of the normal table per unit: four terms then reach 1e-14
const FAR = 9; // beyond it the normal integral is 0 or 1 to the last digit
const POINTS = Float64Array.from({ length: 2 * FAR * FINE + 1 }, (_, at) => at / FINE - FAR);
const DENSITY = POINTS.map((z) => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI));
// Marsaglia, Evaluating the normal distribution, J. Stat. Software 11(4), 2004 (from memory).
const NORMAL = POINTS.map((z, at) => {
  let [total, term] = [z, z];
  for (let n = 3; Math.abs(term) > 1e-17 * Math.abs(total); n += 2) total += term *= (z * z) / n;
  return 0.5 + total * DENSITY[at];
});

function normal(x) {
  if (x <= -FAR) return 0;
  if (x >= FAR) return 1;
  const at = ((x + FAR) * FINE + 0.5) | 0; // the nearest point
  const z = POINTS[at];
  const h = x - z;
  const tail = (z * z - 1) / 6 + (h * z * (3 - z * z)) / 24;
  return NORMAL[at] + DENSITY[at] * h * (1 + h * (h * tail - z / 2));
}

// 1 - exp(b^2) erfc(b): the share of its rise that the lap face climbs.
function riseFraction(speed, kappa) {
  const b = kappa / Math.sqrt(speed);
  if (b < 2) return 1 - 2 * Math.exp(b * b) * normal(-b * Math.SQRT2);
  let below = b; // continued fraction, from its far end
  for (let n = 80; n > 0; n--) below = b + n / 2 / below;
  return 1 - 1 / (below * Math.sqrt(Math.PI));
}

// Air that would heat the lap alike at the reference sheet and speed; linear in air.
export function heatOf(law, { air, sheet, speed }, kappa) {
  const face = sheet + riseFraction(speed, kappa) * (air - sheet);
  const reference = law.reference_sheet;
  return reference + (face - reference) / riseFraction(law.reference_speed, kappa);
}
export const heatsOf = ({ law }, setting) => law.kappa.map((kappa) => heatOf(law, setting, kappa));
export const riseRatios = (law, speed) =>
  law.kappa.map((k) => riseFraction(speed, k) / riseFraction(law.reference_speed, k));

export function sum(values) {
  let total = 0;
  for (let n = 0; n < values.length; n++) total += values[n];
  return total;
}
const count = (values, wanted) => values.filter((value) => value === wanted).length;

// A weld as it counts: strips by what they read as, and the air that the lap met.
export function counted({ law, asked }, weld) {
  const strips = weld.strips.filter(({ pull }) => pull !== "invalid");
  const reads = weld.strips.map(({ pull }) => law.reads_as[pull]);
  const seen = weld.strips.map(({ overheat }) => overheat);
  const looks = [count(seen, "none"), count(seen, "signs")];
  const full = strips.length > 0 && strips.every(({ pull }) => pull === "full");
  const air = weld.measured_air ?? Math.min(weld.air, asked.max_air);
  const pulls = [0, 1, 2].map((grade) => count(reads, grade));
  const heat = heatOf(law, { ...weld, air }, law.reference_kappa);
  const clean = full && looks[0] > 0 && looks[1] === 0;
  return { ...weld, set: weld.air, air, heat, pulls, looks, clean };
}

// By place of (sigma, rho): spread within a weld, and the weld effects in units of it.
const spreadsOf = ({ sigma, rho, effect }) =>
  sigma.flatMap((s) => rho.map((r) => {
    const own = s * Math.sqrt(1 - r);
    return { own, shared: Float64Array.from(effect, (u) => (s * Math.sqrt(r) * u) / own) };
  }));

// All ways to read so many strips in two or three classes, and in how many orders.
export const outcomesOf = (strips, classes) =>
  classes === 1
    ? [[strips]]
    : Array.from({ length: strips + 1 }, (_, n) =>
        outcomesOf(strips - n, classes - 1).map((rest) => [n, ...rest])).flat();
const factorial = (n) => (n < 2 ? 1 : n * factorial(n - 1));
export const waysOf = (outcome) =>
  outcome.reduce((ways, each) => ways / factorial(each), factorial(sum(outcome)));

// Particles alike in all that one kind of evidence asks for: one cell for all of them, and
// which cell is whose.
function alike({ law, particles: p }, pulls, chosen) {
  const [rhos, zones] = [law.rho.length, pulls ? law.zone.length : 1];
  const [edge, sigma, rho, most] = pulls
    ? [p.bottom, p.bond_sigma, p.bond_rho, law.bottom[1]]
    : [p.top, p.heat_sigma, p.heat_rho, law.top[1]];
  const place = new Int32Array(law.kappa.length * law.sigma.length * rhos * zones * most).fill(-1);
  const cells = [];
  const whose = new Int32Array(chosen.length);
  for (let n = 0; n < chosen.length; n++) {
    const i = chosen[n];
    const zone = pulls ? p.zone[i] : 0;
    const spread = sigma[i] * rhos + rho[i];
    const nuisance = (p.kappa[i] * law.sigma.length * rhos + spread) * zones + zone;
    const key = nuisance * most + edge[i];
    if (place[key] < 0) {
      place[key] = cells.length;
      cells.push({ kappa: p.kappa[i], edge: edge[i], spread, zone });
    }
    whose[n] = place[key];
  }
  return { cells, whose };
}

// Chance of each outcome, in one order of the strips, for each of such cells at heat[kappa].
function chancesIn({ law }, outcomes, heat, cells) {
  const pulls = outcomes[0].length === 3;
  const [start] = pulls ? law.bottom : law.top;
  const spreads = spreadsOf(law);
  const { misread, blunder } = law;
  const times = Uint8Array.from(outcomes.flatMap(([a, b, c = 0]) => [a, b, c]));
  const [nodes, wide] = [law.effect.length, outcomes.length];
  const kept = 1 - misread;
  const found = new Float64Array(cells.length * wide);
  for (let at = 0; at < cells.length; at++) {
    const cell = cells[at];
    const { own, shared } = spreads[cell.spread];
    const offset = (heat[cell.kappa] - start - law.step * cell.edge) / own;
    const zone = law.zone[cell.zone] / own;
    for (let node = 0; node < nodes; node++) {
      const z = offset + shared[node];
      const above = normal(z);
      const partial = pulls ? normal(z + zone) - above : 0;
      const half = partial * (misread / 2); // read too cold, or too good
      const second = pulls
        ? partial * kept + (1 - partial) * misread
        : misread + (kept - misread) * above;
      const first = pulls ? (1 - above - partial) * kept + half : 1 - second;
      const third = above * kept + half;
      for (let o = 0; o < wide; o++) {
        let product = 1;
        for (let n = times[3 * o]; n > 0; n--) product *= first;
        for (let n = times[3 * o + 1]; n > 0; n--) product *= second;
        for (let n = times[3 * o + 2]; n > 0; n--) product *= third;
        found[at * wide + o] += product;
      }
    }
  }
  const anything = outcomes[0].length ** -sum(outcomes[0]);
  return found.map((total) => ((1 - blunder) * total) / nodes + blunder * anything);
}

// Chance of each outcome for each chosen particle, outcomes of one particle side by side.
export function chancesOf(table, outcomes, heat, chosen) {
  const { cells, whose } = alike(table, outcomes[0].length === 3, chosen);
  const found = chancesIn(table, outcomes, heat, cells);
  const wide = outcomes.length;
  const spread = new Float64Array(chosen.length * wide);
  for (let n = 0; n < chosen.length; n++)
    for (let o = 0; o < wide; o++) spread[n * wide + o] = found[whose[n] * wide + o];
  return spread;
}

const SHELF = new WeakMap(); // by table: likelihoods of the welds seen so far, by what they say

// Likelihood of one weld under each particle: its pulls and its looks, null where there is
// none, and the logarithm of both together.
export function likelihoodOf(table, weld) {
  if (!SHELF.has(table)) SHELF.set(table, new Map());
  const shelf = SHELF.get(table);
  const key = [weld.air, weld.sheet, weld.speed, weld.pulls, weld.looks].join();
  if (!shelf.has(key)) {
    const all = Int32Array.from(table.particles.kappa, (_, i) => i);
    const heats = heatsOf(table, weld);
    const [pulls, looks] = [weld.pulls, weld.looks].map((counts) =>
      sum(counts) ? chancesOf(table, [counts], heats, all) : null);
    const log = new Float64Array(all.length);
    for (const part of [pulls, looks]) if (part) for (const i of all) log[i] += Math.log(part[i]);
    shelf.set(key, { pulls, looks, log });
  }
  return shelf.get(key);
}
