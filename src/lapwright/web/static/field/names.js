// What people call things: a person, a sheet, a power set-up, in one short line.

import { spelt } from "../units.js";
import { written } from "./quantity.js";

export const personName = (person) => person?.body.name ?? "?";

export const COLOURS = ["white", "grey", "tan", "black"]; // another one stands as it was typed

export function lotName(lot, reader) {
  if (!lot) return "?";
  const { membrane, thickness, colour } = lot.body;
  const said = COLOURS.includes(colour) ? reader.say(`word.colour.${colour}`) : colour;
  return [membrane.toUpperCase(), written(thickness, "thickness", reader), said].join(" ");
}

export function pairingName(record, pairing, reader) {
  const { upper, lower, aged } = pairing.body;
  const over = lotName(record.get(upper), reader);
  const name = upper === lower ? over : reader.say("pairing.on", { upper: over, lower: lotName(record.get(lower), reader) });
  return aged ? reader.say("pairing.aged", { name }) : name;
}

export function powerName(power, reader) {
  const { source, gauge, cord_length: length } = power.body;
  const size = gauge && spelt(gauge, reader.say).replace("mm2", "mm²");
  return [reader.say("power.source", { source }), size, length && written(length, "length", reader)].filter(Boolean).join(", ");
}

// One of each: the newest fact of those that say the same.
export function newestOf(facts, same) {
  const found = new Map();
  for (const fact of facts) found.set(same(fact), fact);
  return [...found.values()].reverse();
}
