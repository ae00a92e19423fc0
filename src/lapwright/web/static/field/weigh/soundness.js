// The sample table after the strips: weights, edges with their intervals, and P(sound) of any
// setting by the server's map. All in SI. No page, no storage, no network.

import { heatsOf, riseRatios, sum } from "./likelihood.js";

const BLUR = 6; // lattice steps of the structural doubt that still count
const MOST_AIR = 1e4; // K; beyond any edge, carried to whatever speed

export const clamp = (value, low, high) => (value < low ? low : value > high ? high : value);

// Share of each particle after the welds with these likelihoods; they sum to 1.
export function weightsOf({ particles }, likely) {
  const weight = Float64Array.from(particles.weight);
  const total = new Float64Array(weight.length);
  for (const { log } of likely) for (let i = 0; i < total.length; i++) total[i] += log[i];
  let most = -Infinity;
  for (let i = 0; i < total.length; i++) most = Math.max(most, total[i]);
  for (let i = 0; i < total.length; i++) weight[i] *= Math.exp(total[i] - most);
  const all = sum(weight);
  return weight.map((each) => each / all);
}

export function beliefOf({ law, particles: p }, weight) {
  const mean = (value) => weight.reduce((total, w, i) => total + w * value(i), 0);
  return {
    weight,
    effective: 1 / sum(weight.map((w) => w * w)),
    kappa: mean((i) => law.kappa[p.kappa[i]]),
    bottom: mean((i) => law.bottom[0] + law.step * p.bottom[i]),
    top: mean((i) => law.top[0] + law.step * p.top[i]),
  };
}

// 5, 50 and 95 % of an edge as air here; every particle spread evenly over its lattice cell.
function quantilesOf({ law, particles }, weight, edge, here) {
  const [start, length] = law[edge];
  const shares = law.kappa.map(() => new Float64Array(length + 1));
  weight.forEach((w, i) => (shares[particles.kappa[i]][particles[edge][i] + 1] += w));
  for (const share of shares) for (let n = 0; n < length; n++) share[n + 1] += share[n];
  const zero = heatsOf({ law }, { ...here, air: 0 });
  const ratio = riseRatios(law, here.speed);
  const below = (air) => sum(shares.map((share, k) => {
    const at = clamp((zero[k] + ratio[k] * air - start) / law.step + 0.5, 0, length);
    const cell = Math.min(Math.floor(at), length - 1);
    return share[cell] + (at - cell) * (share[cell + 1] - share[cell]);
  }));
  return law.interval.map((wanted) => {
    let [low, high] = [0, MOST_AIR];
    for (let n = 0; n < 64; n++) {
      const middle = (low + high) / 2;
      if (below(middle) < wanted) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  });
}

export function edgeOf(table, weight, edge, here, isBelow, isAbove) {
  if (!isBelow && !isAbove) return { low: null, mid: null, high: null };
  const [low, mid, high] = quantilesOf(table, weight, edge, here);
  return { low: isBelow ? low : null, mid, high: isAbove ? high : null };
}

// P(bond limit <= x and overheat limit >= y) on the axis, one table per kappa.
export function limitTables({ law, particles: p }, weight) {
  const [start, n] = law.axis;
  const tables = law.kappa.map(() => new Float64Array(n * n));
  const place = (lattice, at, spread) =>
    (lattice[0] + law.step * at + law.limit * spread - start) / law.step;
  weight.forEach((w, i) => {
    const into = tables[p.kappa[i]];
    const bond = place(law.bottom, p.bottom[i], law.sigma[p.bond_sigma[i]]);
    const heat = place(law.top, p.top[i], -law.sigma[p.heat_sigma[i]]);
    const row = Math.floor(bond + 0.5);
    const column = Math.ceil(heat + 0.5) - 1;
    const down = row - bond + 0.5; // a particle's limits are spread over one cell of the axis
    const along = heat - column + 0.5;
    for (let r = row; r < Math.min(row + 2, n); r++)
      for (let c = column; c > Math.max(column - 2, -1); c--) {
        const share = (r === row ? down : 1 - down) * (c === column ? along : 1 - along);
        into[Math.max(r, 0) * n + Math.min(c, n - 1)] += w * share;
      }
  });
  for (const table of tables) {
    for (let at = n; at < n * n; at++) table[at] += table[at - n];
    for (let at = n * n - 2; at >= 0; at--) if ((at + 1) % n) table[at] += table[at + 1];
  }
  return tables;
}

function blurred(table, n, sd) {
  const bell = (d) => Math.exp(-0.5 * (d / sd) ** 2);
  const kernel = Array.from({ length: 2 * BLUR + 1 }, (_, at) => bell(at - BLUR));
  let from = table;
  for (const [step, across] of [[n, 1], [1, n]]) {
    const into = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      const [first, last] = [Math.max(0, i - BLUR), Math.min(n - 1, i + BLUR)];
      const all = sum(kernel.slice(first - i + BLUR, last - i + BLUR + 1));
      for (let m = first; m <= last; m++) {
        const share = kernel[m - i + BLUR] / all;
        for (let j = 0; j < n * across; j += across)
          into[i * step + j] += share * from[m * step + j];
      }
    }
    from = into;
  }
  return from;
}

// How far conditions lie outside those of the welds: ln of the speed ratio, K of sheet.
export function outside(welds, { speed, sheet }) {
  const gap = (value, all) => [value, clamp(value, Math.min(...all), Math.max(...all))];
  const [fast, nearest] = gap(speed, welds.map((weld) => weld.speed));
  const [warm, tested] = gap(sheet, welds.map((weld) => weld.sheet));
  return [Math.log(fast / nearest), warm - tested];
}

// Bilinear look-up in the tables of all kappas: heats of the bond limit and of the overheat limit.
function look({ law }, tables, bond, heat, air, ratio) {
  const [start, n] = law.axis;
  const most = n - 1 - 1e-9;
  let total = 0;
  for (let k = 0; k < tables.length; k++) {
    const table = tables[k];
    const rise = ratio[k] * air - start;
    const row = clamp((bond[k] + rise) / law.step, 0, most);
    const column = clamp((heat[k] + rise) / law.step, 0, most);
    const i = Math.floor(row);
    const j = Math.floor(column);
    const v = column - j;
    const at = i * n + j;
    const below = (1 - v) * table[at] + v * table[at + 1];
    const above = (1 - v) * table[at + n] + v * table[at + n + 1];
    total += below + (row - i) * (above - below);
  }
  return clamp(total, 0, 1);
}

// P(sound) of a setting {air, speed, sheet}; what does not hang on air is worked out once.
export function soundnessOf(table, tables, welds) {
  const { law } = table;
  const places = new Map();
  let carried = null;
  const at = (speed, sheet) => {
    const ratio = riseRatios(law, speed);
    const zero = heatsOf(table, { air: 0, speed, sheet });
    const [faster, warmer] = welds.length ? outside(welds, { speed, sheet }) : [0, 0];
    if (!faster && !warmer) return (air) => look(table, tables, zero, zero, air, ratio);
    const away = Math.hypot(faster / law.full_move_log_speed, warmer / law.full_move_sheet);
    const moved = Math.min(1, away);
    const [up, down] = [0, 1].map((edge) =>
      Math.max(0, law.per_log_speed[edge] * faster - law.per_cold[edge] * warmer));
    const bond = zero.map((each, k) => each - up * ratio[k]);
    const heat = zero.map((each, k) => each + down * ratio[k]);
    carried ??= tables.map((each) => blurred(each, law.axis[1], law.structural_sd / law.step));
    return (air) =>
      (1 - moved) * look(table, tables, bond, heat, air, ratio) +
      moved * look(table, carried, bond, heat, air, ratio);
  };
  return ({ air, speed, sheet }) => {
    if (!places.has(speed)) places.set(speed, new Map());
    const here = places.get(speed);
    if (!here.has(sheet)) here.set(sheet, at(speed, sheet));
    return here.get(sheet)(air);
  };
}

// P(some air up to the limit is sound), and P(even the limit is below the bond limit).
export function withinMachine({ law, asked }, tables, here) {
  const [start, n] = law.axis;
  const limits = heatsOf({ law }, { ...here, air: asked.max_air });
  let [exists, reached] = [0, 0];
  tables.forEach((table, k) => {
    const at = clamp((limits[k] - start) / law.step, 0, n - 1);
    const last = Math.min(Math.floor(at), n - 2);
    const newly = (i) => table[i * n + i] - (i ? table[(i - 1) * n + i] : 0);
    for (let i = 0; i <= last; i++) exists += newly(i);
    exists += (at - last) * newly(last + 1);
    reached += table[last * n] + (at - last) * (table[(last + 1) * n] - table[last * n]);
  });
  return { pWindow: clamp(exists, 0, 1), pBeyond: clamp(1 - reached, 0, 1) };
}
