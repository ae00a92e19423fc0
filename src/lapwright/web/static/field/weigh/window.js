// The window without a signal: the day's sample table, weighed by all welds of the day. All in
// SI. No page, no storage, no network. The server's rules, in the server's order; where the
// sample is too thin to say as much as the server, `sure` is false and nothing is certified.

import {
  chancesOf, counted, heatOf, heatsOf, likelihoodOf, outcomesOf, sum, waysOf,
} from "./likelihood.js";
import {
  beliefOf, edgeOf, limitTables, outside, soundnessOf, weightsOf, withinMachine,
} from "./soundness.js";

const SCORED = 256; // particles that outcomes of a weld are foretold with
const TRIED = 14; // settings the next weld is chosen among
const MOST_STRIPS = 3; // more strips hardly change which weld teaches most
const JUST = 1 + 1e-9; // a speed of just 1.4 times is within

const leastOf = (scores) => scores.indexOf(Math.min(...scores));
const mostOf = (scores) => scores.indexOf(Math.max(...scores));

// By number as the server has it: 2 before 10, names after, by the alphabet.
function inOrder(welds) {
  const key = ({ number }) => (/^\d+$/.test(number) ? [0, Number(number)] : [1, 0]);
  return [...welds].sort((a, b) => {
    const [x, y] = [key(a), key(b)];
    return x[0] - y[0] || x[1] - y[1] || (a.number < b.number ? -1 : Number(a.number > b.number));
  });
}

// As many particles as SCORED, each as often as its weight says, in the order of the table.
function evenly(weight) {
  let [at, total] = [0, weight[0]];
  return Array.from({ length: SCORED }, (_, n) => {
    while (total < (n + 0.5) / SCORED && at < weight.length - 1) total += weight[++at];
    return at;
  });
}

// Chance of what was seen, or of anything no likelier, for the others' weights. Outcomes are
// foretold only where what was seen is by itself unlikely: else the sum cannot be.
function chanceOfSeen(table, weight, weld, likely) {
  const { unlikely } = table.rules;
  let least = 1;
  for (const kind of ["pulls", "looks"]) {
    if (!likely[kind]) continue;
    const counts = weld[kind];
    const alone = waysOf(counts) * weight.reduce((total, w, i) => total + w * likely[kind][i], 0);
    if (alone >= unlikely) continue;
    const outcomes = outcomesOf(sum(counts), counts.length);
    const found = chancesOf(table, outcomes, heatsOf(table, weld), evenly(weight));
    const chances = outcomes.map((outcome, o) => {
      let total = 0;
      for (let at = o; at < found.length; at += outcomes.length) total += found[at];
      return (waysOf(outcome) * total) / SCORED;
    });
    const seen = chances[outcomes.findIndex((outcome) => outcome.join() === counts.join())];
    least = Math.min(least, sum(chances.filter((chance) => chance <= seen * JUST)));
  }
  return least;
}

// Welds that the others make very unlikely, or that are cold where a cooler one was full.
function oddWelds(table, welds, likely) {
  const { odd_strips: strips, unlikely } = table.rules;
  return welds.filter((weld, at) => {
    const upsideDown = welds.some(
      (other) =>
        (weld.pulls[0] >= strips && other.pulls[2] >= strips && weld.heat > other.heat) ||
        (other.pulls[0] >= strips && weld.pulls[2] >= strips && other.heat > weld.heat),
    );
    if (upsideDown || welds.length < 2) return upsideDown;
    const others = weightsOf(table, likely.filter((_, n) => n !== at));
    return chanceOfSeen(table, others, weld, likely[at]) < unlikely;
  });
}

// What the next weld would teach about both edges: how much it is expected to shrink the
// ellipse of their spread, which is the server's information where the belief is normal.
function information(table, chosen, setting) {
  const { law, particles: p } = table;
  const strips = Math.min(table.asked.strips, MOST_STRIPS);
  const [pulls, looks] = [3, 2].map((classes) => {
    const outcomes = outcomesOf(strips, classes);
    const found = chancesOf(table, outcomes, heatsOf(table, setting), chosen);
    return { ways: outcomes.map(waysOf), found, wide: outcomes.length };
  });
  const [bottom, top] = [p.bottom, p.top].map((edge) => {
    const mean = sum(chosen.map((i) => edge[i])) / SCORED;
    return Float64Array.from(chosen, (i) => law.step * (edge[i] - mean));
  });
  const cell = law.step ** 2 / 12;
  // The share of particles that a likelihood keeps, and ln of the ellipse it leaves, squared.
  const kept = (likelihood) => {
    let [all, b, t, bb, bt, tt] = [0, 0, 0, 0, 0, 0];
    for (let n = 0; n < SCORED; n++) {
      const wb = likelihood[n] * bottom[n];
      const wt = likelihood[n] * top[n];
      all += likelihood[n];
      b += wb;
      t += wt;
      bb += wb * bottom[n];
      bt += wb * top[n];
      tt += wt * top[n];
    }
    const both = bt / all - (b / all) * (t / all);
    const [high, wide] = [bb / all - (b / all) ** 2 + cell, tt / all - (t / all) ** 2 + cell];
    return { share: all / SCORED, log: Math.log(high * wide - both ** 2) };
  };
  const likelihood = new Float64Array(SCORED).fill(1);
  let gain = kept(likelihood).log;
  for (let o = 0; o < pulls.wide; o++)
    for (let h = 0; h < looks.wide; h++) {
      const ways = pulls.ways[o] * looks.ways[h];
      for (let n = 0; n < SCORED; n++)
        likelihood[n] = ways * pulls.found[n * pulls.wide + o] * looks.found[n * looks.wide + h];
      const { share, log } = kept(likelihood);
      gain -= share * log;
    }
  return gain / 2;
}

// Candidate settings, from the coolest lap to the hottest.
const candidatesOf = ({ asked }, welds, { speed, sheet }) =>
  asked.vary === "speed" && welds.length
    ? [...asked.speeds].reverse().map((each) => ({ air: welds.at(-1).air, speed: each, sheet }))
    : asked.airs.map((air) => ({ air, speed, sheet }));

function overDrift({ table, sound, here }, { air, speed }) {
  const { max_air: hottest, cases } = table.asked;
  const held = Math.min(air, here.ambient + (hottest - here.ambient) * cases.volts_ratio ** 2);
  return cases.weight.reduce((total, share, n) => {
    const sheet = here.sheet + cases.sheet[n];
    const met = held - cases.loss[n] * (held - sheet) + cases.shift[n];
    return total + share * sound({ air: met, speed, sheet });
  }, 0);
}

function chosenBy(policy, known) {
  const { table, belief, sound, candidates } = known;
  if (policy === "low") return candidates.find((each) => sound(each) >= table.rules.level) ?? null;
  if (policy === "steady")
    return candidates[mostOf(candidates.map((each) => overDrift(known, each)))];
  const middle = (belief.bottom + belief.top) / 2;
  const off = (each) => Math.abs(heatOf(table.law, each, belief.kappa) - middle);
  return candidates[leastOf(candidates.map(off))];
}

// The nearest clean weld at about this setting and these conditions.
function confirming({ table: { law, rules }, belief, welds }, point) {
  const heat = (setting) => heatOf(law, setting, belief.kappa);
  const perAir = heat({ ...point, air: point.air + 1 }) - heat(point);
  const near = welds
    .map((weld) => ({ weld, distance: Math.abs(heat(weld) - heat(point)) / perAir }))
    .filter(
      ({ weld, distance }) =>
        weld.clean &&
        distance <= rules.confirm_within &&
        Math.abs(Math.log(weld.speed / point.speed)) <= rules.same_log_speed &&
        Math.abs(weld.sheet - point.sheet) <= rules.same_sheet,
    );
  return near[leastOf(near.map(({ distance }) => distance))] ?? null;
}

// Conditions asked for are within reach of those the welds met.
function isNear({ table: { rules }, welds, here }) {
  if (!welds.length) return true;
  const [faster, warmer] = outside(welds, here).map(Math.abs);
  const carried = (faster || warmer) && here.speed < rules.slowest;
  const fast = faster <= Math.log(rules.most_speed_ratio) * JUST;
  return fast && warmer <= rules.most_sheet_change * JUST && !carried;
}

function verdictOf({ table: { rules }, welds }, standing) {
  const graded = (grade) => welds.some((weld) => weld.pulls[grade]);
  const enough = welds.length >= rules.enough_welds;
  if (!welds.length) return "no_test_weld";
  if (!standing.near) return "test_again";
  if (enough && standing.pBeyond >= rules.saturated) return "saturated";
  if (enough && standing.pWindow <= rules.no_window) return "no_window";
  if (standing.repeat) return "repeat";
  if (standing.certified) return "certified";
  if (!welds.some((weld) => sum(weld.looks))) return "top_unknown";
  if (!graded(2)) return "none_passed";
  if (standing.offered && standing.pSound >= rules.level && !standing.confirmed) return "confirm";
  return graded(0) || graded(1) ? "not_known_yet" : "no_bottom";
}

const suggested = ({ air, speed }, reason, done = false) => ({ air, speed, reason, done });

function nextRung({ table: { asked, rules }, welds, here }, point, verdict) {
  const done = verdict === "test_again" ? [] : welds;
  const isNew = (air) =>
    done.every(
      (weld) =>
        Math.abs(weld.speed - here.speed) >= rules.speed_step / 2 ||
        Math.abs(weld.set - air) > rules.same_setting,
    );
  const rung = asked.rungs.find(isNew);
  if (rung === undefined) return suggested(point, "ladder_done", true);
  return suggested({ air: rung, speed: here.speed }, "rung");
}

function mostTelling({ table, belief, welds, candidates }, point, verdict) {
  const heat = (setting) => heatOf(table.law, setting, belief.kappa);
  // The first weld starts low: at or below the expected bottom.
  const open = welds.length
    ? candidates
    : candidates.filter((each, n) => n === 0 || heat(each) <= belief.bottom);
  const every = Math.ceil(open.length / TRIED);
  const first = Math.floor(((open.length - 1) % every) / 2);
  const tried = open.filter((_, n) => n % every === first);
  const chosen = evenly(belief.weight);
  const gains = tried.map((setting) => information(table, chosen, setting));
  const best = tried[mostOf(gains)];
  if (!welds.length) return suggested(best, "first");
  if (Math.max(...gains) < table.rules.little_to_learn) return suggested(point, "enough", true);
  const lower = verdict === "no_bottom" && welds.every((weld) => heat(best) < heat(weld));
  return suggested(best, lower ? "lower" : "learn");
}

function nextOf(known, point, verdict, { repeat, pSound }) {
  const { rules, asked } = known.table;
  const isOver = ["certified", "no_window", "saturated"].includes(verdict);
  if (isOver) return suggested(point, verdict, true);
  if (asked.plan === "ladder" && asked.rungs.length) return nextRung(known, point, verdict);
  if (verdict === "repeat") return suggested({ ...repeat, air: repeat.set }, "repeat");
  if (verdict === "test_again") return suggested(point, "again");
  const isEnough = verdict === "confirm" || (verdict === "top_unknown" && pSound >= rules.level);
  return isEnough ? suggested(point, "confirm") : mostTelling(known, point, verdict);
}

// What is known before anything is decided.
function knownFrom(table, given) {
  const { asked } = table;
  const welds = inOrder(given).map((weld) => counted(table, weld));
  const last = welds.at(-1) ?? asked.start;
  const names = ["speed", "sheet", "ambient"];
  const here = Object.fromEntries(names.map((name) => [name, asked[name] ?? last[name]]));
  const likely = welds.map((weld) => likelihoodOf(table, weld));
  const belief = beliefOf(table, weightsOf(table, likely));
  const tables = limitTables(table, belief.weight);
  const sound = soundnessOf(table, tables, welds);
  const candidates = candidatesOf(table, welds, here);
  return { table, welds, here, likely, belief, tables, sound, candidates };
}

// Where the morning stands with this set point; `sure` is false where only the server may judge.
function standingOf(known, point, offered) {
  const { table, welds, likely, belief, sound, tables, here } = known;
  const { rules } = table;
  const pSound = sound(point);
  const confirmed = offered ? confirming(known, point) : null;
  const odd = oddWelds(table, welds, likely);
  const isSame = (one, other) => Math.abs(other.heat - one.heat) <= rules.confirm_within;
  const isRepeated = (weld) => welds.some((other) => other !== weld && isSame(weld, other));
  // What chance may do: the server certifies on `enough`, the phone only with room to spare.
  const enough = welds.length >= rules.least_welds && confirmed !== null && pSound >= rules.level;
  const isThick = belief.effective >= rules.least_effective;
  const error = Math.sqrt((pSound * (1 - pSound)) / belief.effective);
  const isClear = pSound >= rules.level + Math.max(rules.level_margin, rules.level_errors * error);
  const isNearby = confirmed?.distance <= rules.confirm_within - rules.confirm_margin;
  const certified = enough && isThick && isClear && isNearby;
  return {
    ...withinMachine(table, tables, here),
    near: isNear(known),
    offered,
    pSound,
    confirmed,
    odd,
    repeat: odd.find((weld) => !isRepeated(weld)),
    certified,
    sure: isThick && (certified || !enough),
  };
}

// The phone's own answer from the welds of the day: [{number, air, measured_air, speed, sheet,
// ambient, strips: [{pull, overheat}]}], those the table knows and those it does not.
export function weigh(table, given) {
  const known = knownFrom(table, given);
  const { welds, here, belief } = known;
  const asPolicy = chosenBy(table.asked.policy, known);
  const point = asPolicy ?? chosenBy("steady", known);
  const standing = standingOf(known, point, asPolicy !== null && isNear(known));
  const verdict = verdictOf(known, standing);
  const seen = (kind, grades) => welds.some((weld) => grades.some((grade) => weld[kind][grade]));
  const shown = standing.offered && !table.rules.no_setting.includes(verdict);
  const { air, speed } = point;
  const { pSound } = standing;
  return {
    by: "phone",
    version: table.version,
    model: table.model,
    verdict,
    certified: verdict === "certified",
    sure: standing.sure,
    effective: belief.effective,
    conditions: here,
    bottom: edgeOf(table, belief.weight, "bottom", here, seen("pulls", [0, 1]), seen("pulls", [2])),
    top: edgeOf(table, belief.weight, "top", here, seen("looks", [0]), seen("looks", [1])),
    pWindow: standing.pWindow,
    setPoint: shown ? { air, speed, pSound, pSoundDrift: overDrift(known, point) } : null,
    confirmedBy: standing.confirmed?.weld.number ?? null,
    odd: standing.odd.map((weld) => weld.number),
    next: nextOf(known, point, verdict, standing),
  };
}
