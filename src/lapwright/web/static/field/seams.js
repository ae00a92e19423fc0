// Each seam as welded and probed so far, and every defect to its end. Pure.

import { moment } from "./ids.js";
import { runsOf } from "./day.js";
import { si } from "./quantity.js";

const NEAR = 0.02; // m; two stations closer than this are one

// Half-open spans [from, to) without those of others, in order.
export function without(spans, others) {
  return others.reduce(
    (left, [from, to]) =>
      left.flatMap(([a, b]) => [[a, Math.min(b, from)], [Math.max(a, to), b]].filter(([x, y]) => y - x > NEAR)),
    spans,
  );
}

export function joined(spans) {
  const sorted = spans.filter(([from, to]) => to - from > NEAR).sort(([a], [b]) => a - b);
  const found = [];
  for (const [from, to] of sorted) {
    const last = found.at(-1);
    if (last && from <= last[1] + NEAR) last[1] = Math.max(last[1], to);
    else found.push([from, to]);
  }
  return found;
}

export const lengthOf = (spans) => spans.reduce((total, [from, to]) => total + to - from, 0);
const spanOf = (one, other) => [Math.min(si(one), si(other)), Math.max(si(one), si(other))];

// Seams in the order of their names: welded, unprobed and unproved spans, and the open run.
export function seamsOf(record) {
  const seams = new Map();
  const of = (name) => {
    if (!seams.has(name)) seams.set(name, { name, welded: [], probed: [], orphan: [], open: null });
    return seams.get(name);
  };
  for (const { run, end } of runsOf(record)) {
    const seam = of(run.body.seam);
    if (!end) seam.open = run;
    else {
      const span = spanOf(run.body.station, end.body.station);
      seam.welded.push({ span, at: moment(end.at) });
      if (!run.body.decision) seam.orphan.push(span);
    }
  }
  for (const { body, at } of record.all("probe"))
    of(body.seam).probed.push({ span: spanOf(body.start, body.end), at: moment(at) });
  const byName = (one, other) => one.name.localeCompare(other.name, "en", { numeric: true });
  return [...seams.values()].sort(byName).map((seam) => {
    // A foot probed before it was welded anew is not probed.
    const unprobed = seam.welded.flatMap(({ span, at }) =>
      without([span], seam.probed.filter((probe) => probe.at >= at).map((probe) => probe.span)));
    return {
      ...seam,
      welded: joined(seam.welded.map(({ span }) => span)),
      unprobed: joined(unprobed),
      orphan: joined(seam.orphan),
    };
  });
}

// Every defect: open, repaired (waiting for the second look) or closed.
export function defectsOf(record) {
  return record.all("defect").map((defect) => {
    const repair = record.all("repair").findLast(({ body }) => body.defect === defect.id) ?? null;
    const look = repair && (record.all("reprobe").findLast(({ body }) => body.repair === repair.id) ?? null);
    const state = look?.body.result === "closed" ? "closed" : repair && !look ? "repaired" : "open";
    return { defect, repair, look, state };
  });
}

// The next number in a row of numbers as written on the sheet: after "12" comes "13".
export function nextNumber(facts) {
  const numbers = facts.map(({ body }) => Number(body.number)).filter(Number.isFinite);
  return String(Math.max(0, ...numbers) + 1);
}

// Seam after the one welded last: A-S017 comes after A-S016.
export const nextSeam = (name) => {
  const [, head, digits, tail] = /^(.*?)(\d+)(\D*)$/.exec(name) ?? [];
  return digits ? head + String(Number(digits) + 1).padStart(digits.length, "0") + tail : name;
};
