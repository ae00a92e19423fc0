// The crew's day as the record has it: test welds of the chain, the set point in force, what
// asks for a test, feet since the last proof. Pure: record, choices and the moment come in.

import { differing, sameChain, sameMachine } from "./chain.js";
import { moment, stamp } from "./ids.js";
import { si } from "./quantity.js";
import { resultOf } from "./strips.js";

export const DOUBT = "doubt";
const HALT = [DOUBT, "failed_cut", "failed_strip", "voids_close", "symptom"];
const BY_THE_CLOCK = ["lunch", "time_since_pass", "long_stop"];
const ASK_FOR_A_TEST = ["halt", "due"]; // urgencies
const HOUR = 3600; // s

export const dayOf = (now) => stamp(now).slice(0, 10);
const isOf = (day) => ({ at }) => at.slice(0, 10) === day;
const seconds = (later, earlier) => (moment(later) - moment(earlier)) / 1e6;

// Test welds of the chain on this day, since anything in it last changed on this machine.
export function weldsOf(record, chain, day) {
  if (!chain.machine) return [];
  const done = ["test_weld", "run"]
    .flatMap((kind) => record.all(kind))
    .filter((fact) => isOf(day)(fact) && sameMachine(record, fact.body, chain))
    .sort((one, other) => moment(other.at) - moment(one.at));
  const found = [];
  for (const fact of done) {
    if (!sameChain(record, fact.body, chain)) {
      if (found.length) break;
    } else if (fact.kind === "test_weld") found.push(fact);
  }
  return found.reverse();
}

// What the likelihood wants of a weld, in SI; null for one that cannot be read (a dial mark, no
// conditions). What was measured wins over what was set.
export function weighable(record, weld, { strips, heat }) {
  const conditions = record.get(weld.body.conditions);
  const measured = si(weld.body.measured_air);
  const air = si(weld.body.air) ?? measured;
  const speed = si(weld.body.measured_speed) ?? si(weld.body.speed);
  const ambient = si(conditions?.body.ambient);
  if (!strips.length || air === null || speed === null || ambient === null) return null;
  return {
    number: weld.body.number,
    air,
    speed,
    ambient,
    sheet: si(conditions.body.sheet) ?? ambient,
    measured_air: measured,
    strips: strips.map(({ body }) => ({ pull: body.pull, overheat: heat })),
  };
}

const lengthOf = (run, end) => Math.abs(si(end.body.station) - si(run.body.station));

// {run, end} of the chain's machine, oldest first; end is null while it runs.
export function runsOf(record) {
  const ends = new Map(record.all("run_end").map((end) => [end.body.run, end]));
  return record.all("run").map((run) => ({ run, end: ends.get(run.id) ?? null }));
}

// What was answered to a trigger since the last proof: it happened, was put off or overruled.
function askedBy(record, chain, since, now) {
  const asked = new Map();
  for (const { at, body } of record.all("event")) {
    if (moment(at) < since || !sameMachine(record, body, chain)) continue;
    if (body.answer === "happened") asked.set(body.trigger, true);
    else if (body.trigger === DOUBT) continue; // no score and no reason argues back
    else if (body.answer === "overruled" || moment(body.until ?? "") > now * 1000) asked.set(body.trigger, false);
    else asked.delete(body.trigger); // put off, and the time is up
  }
  return asked;
}

function movedBetween(before, after, rules) {
  if (!before || !after) return [];
  const moved = (name, limit) => {
    const [a, b] = [si(before.body[name]), si(after.body[name])];
    return a !== null && b !== null && Math.abs(a - b) > limit + 1e-6;
  };
  const word = (name) => after.body[name] && before.body[name] && after.body[name] !== before.body[name];
  return [
    moved("ambient", rules.air_moved) && "air_moved",
    moved("sheet", rules.sheet_moved) && "sheet_moved",
    word("substrate") && "substrate_changed",
    word("sun") && "sun_changed",
    word("wind") && "wind_changed",
    after.body.dry === false && "wet",
  ].filter(Boolean);
}

function byTheClock({ proof, lastEnd, open, now, rules }) {
  const clock = stamp(now);
  const found = [];
  if (lastEnd?.body.reason === "lunch" && moment(lastEnd.at) > moment(proof.at)) found.push("lunch");
  if (seconds(clock, proof.at) > rules.time_since_pass) found.push("time_since_pass");
  const stood = lastEnd && !open && moment(lastEnd.at) > moment(proof.at) ? seconds(clock, lastEnd.at) : 0;
  if (stood > rules.long_stop && stood < 12 * HOUR) found.push("long_stop");
  return found;
}

// What the server said asks for a test, by name; null where it said nothing of this chain, or a
// pass that it has not seen answers it.
function told(record, { chain, proof, heard }) {
  const found = heard?.chains.find((each) => sameChain(record, each.chain, chain));
  if (!found || (!heard.isFresh && proof && proof.id !== found.last_pass?.id)) return null;
  return new Map(found.due.filter(({ urgency }) => ASK_FOR_A_TEST.includes(urgency)).map((each) => [each.code, each]));
}

// Reasons to weld a test, most urgent first; none while nothing asks. The server's stand while it
// knows all that the phone does; time goes on for both.
function due(record, known, said) {
  const { chain, proof, latest, welds, conditions, now, rules } = known;
  const since = proof ? moment(proof.at) : -Infinity;
  const today = dayOf(now);
  const asked = askedBy(record, chain, proof ? since : moment(`${today}T00:00:00${stamp(now).slice(-6)}`), now);
  const found = [...asked].filter(([, holds]) => holds).map(([name]) => name);
  const isTrial = ["start", "search"].includes(latest?.weld.body.purpose);
  if (latest && latest.result.verdict === "failed" && !isTrial && latest.weld.id !== proof?.id) found.push("failed_strip");
  if (!proof) found.push(welds.length ? "no_pass" : "shift_start");
  else {
    found.push(...byTheClock(known));
    found.push(...movedBetween(record.get(proof.body.conditions), conditions, rules));
  }
  const own = found.filter((name) => !rules.off.includes(name) && (!known.heard?.isFresh || !said || BY_THE_CLOCK.includes(name)));
  const standing = [...new Set([...(said?.keys() ?? []), ...own])].filter((name) => asked.get(name) !== false);
  const rank = (name) => (HALT.includes(name) ? HALT.indexOf(name) : HALT.length);
  return standing.sort((one, other) => rank(one) - rank(other));
}

// The day at this moment for what the phone has chosen.
export function dayState(record, { chosen, now, rules, heard = null }) {
  const day = dayOf(now);
  const chain = {
    machine: chosen.machine ?? null,
    operator: chosen.operator ?? null,
    power_setup: chosen.power_setup ?? null,
    pairing: chosen.pairing ?? null,
  };
  const made = weldsOf(record, chain, day).map((weld) => ({ weld, result: resultOf(record, weld, rules) }));
  const proof = made.findLast(({ result }) => result.verdict === "passed")?.weld ?? null;
  const conditions = record.all("conditions").findLast(isOf(day)) ?? null;
  const decision = record.all("decision")
    .findLast((fact) => isOf(day)(fact) && fact.body.accepted && sameChain(record, fact.body, chain)) ?? null;
  const runs = runsOf(record).filter(({ run }) => isOf(day)(run));
  const own = runs.filter(({ run }) => sameMachine(record, run.body, chain));
  const open = own.findLast(({ end }) => !end)?.run ?? null;
  const lastEnd = own.findLast(({ end }) => end)?.end ?? null;
  const sinceProof = own
    .filter(({ run, end }) => end && sameChain(record, run.body, chain) && (!proof || moment(run.at) >= moment(proof.at)))
    .reduce((total, { run, end }) => total + lengthOf(run, end), 0);
  const known = { chain, proof, latest: made.at(-1), welds: made, conditions, lastEnd, open, now, rules, heard };
  const said = told(record, known);
  return {
    day,
    chain,
    welds: made,
    proof,
    conditions,
    decision,
    runs,
    open,
    lastEnd,
    sinceProof,
    changed: open ? differing(record, open.body, chain) : [],
    due: chain.machine && chain.operator ? due(record, known, said) : [],
    said: said ?? new Map(),
    others: runs.filter(({ run, end }) => !end && !sameMachine(record, run.body, chain)).map(({ run }) => run),
    nozzle: record.all("nozzle_setup").findLast((fact) => isOf(day)(fact) && sameMachine(record, fact.body, chain)) ?? null,
  };
}
