// Facts to the state of the job, by the same rules as the server: a fold that no order and no
// repeat can change. A correction is laid over its fact; the fact itself stays beneath.

import { fault } from "./check.js";
import { moment } from "./ids.js";

export const WITHDRAWN = "withdrawn"; // field of a correction that takes the whole fact back
const OUTSIDE_BODY = ["at", "by", "note"];

const inOrder = (moments) => (one, other) =>
  moments(one) - moments(other) || (one.id < other.id ? -1 : Number(one.id > other.id));
const happened = inOrder((fact) => moment(fact.at));
const typed = inOrder((fact) => moment(fact.entered_at));

// The fact with one field read anew; null when the field cannot hold that.
function reread(kinds, fact, name, value) {
  const anew = OUTSIDE_BODY.includes(name)
    ? { ...fact, [name]: value }
    : { ...fact, body: { ...fact.body, [name]: value } };
  return fault(kinds, anew) === null ? anew : null;
}

function corrected(kinds, first, corrections) {
  let [fact, isWithdrawn] = [first, false];
  const laid = corrections.sort(typed).filter(({ body }) => {
    if (body.field === WITHDRAWN) {
      isWithdrawn = Boolean(body.new);
      return true;
    }
    const anew = reread(kinds, fact, body.field, body.new ?? null);
    fact = anew ?? fact;
    return anew !== null;
  });
  return { fact, first, corrections: laid, isWithdrawn };
}

export class Record {
  #byKind = new Map();

  // Facts in any order, repeats allowed.
  constructor(kinds, facts) {
    const unique = new Map([...facts].map((fact) => [fact.id, fact]));
    const corrections = new Map();
    for (const fact of unique.values()) {
      if (fact.kind !== "correction") continue;
      corrections.set(fact.body.of, [...(corrections.get(fact.body.of) ?? []), fact]);
    }
    this.held = new Map(
      [...unique.values()].sort(happened).map((fact) => [fact.id, corrected(kinds, fact, corrections.get(fact.id) ?? [])]),
    );
    for (const { fact, isWithdrawn } of this.held.values()) {
      if (isWithdrawn) continue;
      if (!this.#byKind.has(fact.kind)) this.#byKind.set(fact.kind, []);
      this.#byKind.get(fact.kind).push(fact);
    }
    for (const found of this.#byKind.values()) found.sort(happened); // a corrected moment moves its fact
  }

  // Facts of a kind that hold, oldest first.
  all(kind) {
    return this.#byKind.get(kind) ?? [];
  }

  // The newest fact of a kind whose fields have these values.
  latest(kind, fields = {}) {
    const wanted = Object.entries(fields);
    return this.all(kind).findLast((fact) => wanted.every(([name, value]) => (fact.body[name] ?? null) === value)) ?? null;
  }

  // The fact of an id as it holds; null when unknown, not arrived or withdrawn.
  get(id) {
    const held = this.held.get(id);
    return !held || held.isWithdrawn ? null : held.fact;
  }
}
