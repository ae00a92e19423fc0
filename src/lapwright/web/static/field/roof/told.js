// The story of a stretch of seam in plain words: who welded it with what, what stands behind it,
// the weather then and now, probes, cuts, repairs and what is open. From the facts on the phone.

import { runsOf } from "../day.js";
import { personName } from "../names.js";
import { timeOf } from "../parts.js";
import { si, written } from "../quantity.js";
import { defectsOf } from "../seams.js";
import { resultOf } from "../strips.js";

export const dayText = (at, { say }) => `${Number(at.slice(8, 10))} ${say(`month.${Number(at.slice(5, 7))}`)} ${at.slice(0, 4)}`;
export const whenText = (at, reader) => `${dayText(at, reader)}, ${timeOf(at)}`;

const machineName = (machine, { say }) => (machine ? say(`story.${machine.body.type}`, { number: machine.body.number }) : say("unknown"));

export function pulls(record, weld, rules, { say }) {
  const { strips, verdict, heat } = resultOf(record, weld, rules);
  const graded = strips.map(({ body }) => say(`word.pull.${body.pull}`)).join(", ");
  const looked = weld.kind === "test_weld" ? say(`heat.${heat ?? "not_looked"}`) : "";
  return { verdict, text: [graded || say("cut.no_strips"), looked].filter(Boolean).join("; ") };
}

function weather(conditions, reader) {
  const { ambient, sheet, sun, wind, substrate, dry } = conditions.body;
  const { say } = reader;
  return [
    say("story.air", { air: written(ambient, "temperature", reader) }),
    say("story.sheet", { sheet: written(sheet, "temperature", reader) }),
    sun && say(`word.sun.${sun}`),
    wind && say("story.wind", { wind: say(`word.wind.${wind}`) }),
    substrate && say("story.below", { substrate: say(`word.substrate.${substrate}`) }),
    dry === false && say("story.wet"),
  ].filter(Boolean).join(", ");
}

function ofRun(run, decision, { record, reader }) {
  const { say } = reader;
  const { machine, operator, air, speed, measured_speed: measured } = run.body;
  const set = air ? run.body : decision?.body;
  const about = { when: whenText(run.at, reader), name: personName(record.get(operator)), machine: machineName(record.get(machine), reader) };
  return [
    { code: "run", text: say("story.run", about) },
    { code: "set", text: set ? say("story.set", { air: written(set.air, "temperature", reader), speed: written(air ? speed : set.speed, "speed", reader) }) : say("story.set_unknown") },
    ...(measured ? [{ code: "measured", text: say("story.measured", { speed: written(measured, "speed", reader) }) }] : []),
  ];
}

const weldsBehind = (stretch, record) => stretch.test_welds.map(({ id }) => record.get(id)).filter(Boolean);

function behind(stretch, { record, reader: { say } }) {
  if (stretch.why_orphan) return [{ code: "orphan", kind: "stop", text: say("story.orphan", { why: say(`why_orphan.${stretch.why_orphan.code}`) }) }];
  const numbers = weldsBehind(stretch, record).map(({ body }) => body.number).join(", ");
  return [{ code: "behind", kind: "done", text: say("story.behind", { numbers }) }];
}

// What the run leans on: the signature, each test weld with its strips, the weather then and now.
function proof(stretch, about) {
  const { record, reader, rules } = about;
  const { say } = reader;
  const decision = record.get(stretch.decision);
  return [
    decision && { code: "decided", text: say("story.decided", { when: whenText(decision.at, reader), name: personName(record.get(decision.by)) }) },
    ...weldsBehind(stretch, record).map((weld) => {
      const { text } = pulls(record, weld, rules, reader);
      return { code: "weld", text: say("story.test_weld", { number: weld.body.number, time: timeOf(weld.at), air: written(weld.body.air, "temperature", reader), strips: text }) };
    }),
    ...weathers(stretch, about),
  ].filter(Boolean);
}

// Conditions when it was tested and when it was welded, where both are known and differ.
function weathers(stretch, { record, reader }) {
  const now = record.get(stretch.conditions);
  const last = weldsBehind(stretch, record).at(-1);
  const then = last && record.get(last.body.conditions);
  return [
    then && { code: "weather", text: reader.say("story.then", { time: timeOf(then.at), weather: weather(then, reader) }) },
    now && now.id !== then?.id && { code: "weather", text: reader.say("story.now", { time: timeOf(now.at), weather: weather(now, reader) }) },
  ];
}

function late({ late: found }, { reader }) {
  if (!found) return [];
  const why = found.triggers.map(({ code }) => reader.say(`trigger.${code}`)).join(" ");
  return [{ code: "late", kind: "test", text: reader.say(found.set_aside ? "story.set_aside" : "story.late", { time: timeOf(found.since), why }) }];
}

function probes(stretch, { record, reader }) {
  const probe = record.get(stretch.probed);
  if (!probe) {
    const early = stretch.probes.map((id) => record.get(id)).filter(Boolean);
    return [{ code: "probe", kind: "test", text: reader.say(early.length ? "story.probed_early" : "story.unprobed") }];
  }
  const { prober, result } = probe.body;
  return [{ code: "probe", kind: "done", text: reader.say(`story.probed.${result}`, { name: personName(record.get(prober)), when: whenText(probe.at, reader) }) }];
}

export function cutText(cut, { record, reader, rules }) {
  const { verdict, text } = pulls(record, cut, rules, reader);
  return reader.say("story.cut", { number: cut.body.number, station: written(cut.body.station, "length", reader), verdict: reader.say(`story.${verdict}`), strips: text });
}

// A defect to its end, step by step.
export function defectLines({ defect, repair, look, state, why = null }, { record, reader }) {
  const { say } = reader;
  const { number, station, type, found_by: by } = defect.body;
  const kind = state === "closed" ? "done" : state === "repaired" ? "test" : "stop";
  const told = { number, station: written(station, "length", reader), type: say(`word.defect.${type}`), by: say(`word.found_by.${by}`), when: whenText(defect.at, reader) };
  return [
    { code: "defect", kind, text: say("story.defect", told), of: defect.id },
    repair && { code: "repair", text: say("story.repair", { method: say(`word.method.${repair.body.method}`), name: personName(record.get(repair.body.operator)), when: whenText(repair.at, reader) }), of: repair.id },
    look && { code: "look", text: say(`story.look.${look.body.result}`, { name: personName(record.get(look.body.prober)), when: whenText(look.at, reader) }), of: look.id },
    why && { code: "open", kind, text: say("story.open", { why: say(`why_open.${why}`) }) },
  ].filter(Boolean);
}

// Runs of the phone over a piece, the last on top.
const runsOver = (record, seam, { from, to }) => runsOf(record).filter(({ run, end }) => {
  const ends = end && [si(run.body.station), si(end.body.station)];
  return ends && run.body.seam === seam && Math.min(...ends) < to - 0.01 && Math.max(...ends) > from + 0.01;
});

// What is told of the whole run, {run, proof}, and what only of this piece, {own}: lines of
// {code, text, kind?, of?, failure?}.
function told(seam, piece, about) {
  const { record, reader } = about;
  const { stretch, isNewer } = piece;
  const { say } = reader;
  const newer = isNewer && runsOver(record, seam, piece).at(-1)?.run;
  const defects = defectsHere(seam, piece, about.states).flatMap(({ known, why }) => defectLines({ ...known, why }, about));
  if (newer) {
    const own = [{ code: "newer", kind: "note", text: say("story.newer") }, ...defects];
    return { run: ofRun(newer, record.get(newer.body.decision), about), proof: [], own };
  }
  const run = stretch?.run && record.get(stretch.run);
  if (!run) return { run: [], proof: [], own: [{ code: "bare", text: say(stretch?.run ? "story.run_unknown" : "story.bare") }, ...defects] };
  const cuts = stretch.cuts.map(({ id }) => record.get(id)).filter(Boolean);
  const under = stretch.under.map((id) => record.get(id)).filter(Boolean);
  return {
    run: [...ofRun(run, record.get(stretch.decision), about), ...behind(stretch, about)],
    proof: proof(stretch, about),
    own: [
      ...late(stretch, about),
      ...piece.doubt.map((failure) => ({ code: "doubt", kind: "stop", text: say("story.suspect"), failure })),
      ...probes(stretch, about),
      ...cuts.map((cut) => ({ code: "cut", text: cutText(cut, about), of: cut.id })),
      ...defects,
      ...under.map(({ at, body }) => ({ code: "under", text: say("story.under", { when: whenText(at, reader), name: personName(record.get(body.operator)) }) })),
    ],
  };
}

// Defects of the server's trace, and the phone's own that it has not traced yet.
function defectsHere(seam, { stretch, from, to }, states) {
  const traced = (stretch?.defects ?? []).map(({ id, why_open: why }) => ({ known: states.get(id), why }));
  const told = new Set(traced.map(({ known }) => known?.defect.id));
  const own = [...states.values()].filter(({ defect }) => {
    const station = si(defect.body.station);
    return !told.has(defect.id) && defect.body.seam === seam && station >= from - 0.01 && station < to;
  });
  return [...traced.filter(({ known }) => known), ...own.map((known) => ({ known, why: null }))];
}

const joins = (last, piece) => last && piece.from - last.to < 0.06;
const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

// The seam from one end to the other: a chapter for each run, {from, to, run, proof, parts}, and in
// it a part for all that tells the same, {from, to, state, lines}.
export function chapters(seam, pieces, { record, ...reads }) {
  const states = new Map(defectsOf(record).map((each) => [each.defect.id, each]));
  const about = { record, states, ...reads };
  const found = [];
  for (const { from, to, state, ...piece } of pieces) {
    const { run, proof: backing, own: lines } = told(seam, { from, to, state, ...piece }, about);
    let chapter = found.at(-1);
    if (!joins(chapter, { from }) || !same([chapter.run, chapter.proof], [run, backing])) {
      chapter = { from, to, run, proof: backing, parts: [] };
      found.push(chapter);
    }
    const part = chapter.parts.at(-1);
    if (joins(part, { from }) && part.state === state && same(part.lines, lines)) part.to = to;
    else chapter.parts.push({ from, to, state, lines });
    chapter.to = to;
  }
  return found.map(gathered);
}

// What every part of a run tells is told once, of the run.
function gathered({ run, parts, ...chapter }) {
  if (parts.length < 2) return { ...chapter, run, parts };
  const [first, ...rest] = parts;
  const isCommon = (line) => rest.every(({ lines }) => lines.some((other) => same(line, other)));
  const common = first.lines.filter(isCommon);
  const left = (lines) => lines.filter((line) => !common.some((other) => same(line, other)));
  return { ...chapter, run: [...run, ...common], parts: parts.map(({ lines, ...part }) => ({ ...part, lines: left(lines) })) };
}
