// Who welds what with what, as the server tells chains apart: a set-up recorded anew without a
// change is the same chain.

import { si } from "./quantity.js";

const close = (measure) => {
  const value = si(measure);
  return value === null ? null : value.toFixed(5);
};

function lotSays(record, id) {
  const lot = record.get(id);
  if (!lot) return id;
  const { membrane, colour, backing, thickness } = lot.body;
  return [membrane, colour, backing, close(thickness)];
}

const SAYS = {
  machine: (_, { body }) => [body.number, body.type],
  operator: (_, { id }) => id,
  power_setup: (_, { body }) => [body.source, body.gauge ?? null, close(body.cord_length)],
  pairing: (record, { body }) => [lotSays(record, body.upper), lotSays(record, body.lower), body.aged ?? null],
};
export const LINKS = Object.keys(SAYS);

// What a part of a chain says, as text to compare; null when nobody knows.
function sameness(record, link, id) {
  if (!id) return null;
  const fact = record.get(id);
  return fact ? JSON.stringify(SAYS[link](record, fact)) : id;
}

// Nothing that is known of both tells them apart.
export function sameChain(record, one, other) {
  return LINKS.every((link) => {
    const [a, b] = [sameness(record, link, one[link]), sameness(record, link, other[link])];
    return a === b || (!["machine", "operator"].includes(link) && (a === null || b === null));
  });
}

export const sameMachine = (record, one, other) =>
  sameness(record, "machine", one.machine) === sameness(record, "machine", other.machine);

// The links in which two chains differ.
export const differing = (record, one, other) =>
  LINKS.filter((link) => sameness(record, link, one[link]) !== sameness(record, link, other[link]));
