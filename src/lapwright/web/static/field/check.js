// One fact, checked as the server checks it. The kinds come with the page, written from the
// server's own table (kinds.json); no page, no storage.

import { moment } from "./ids.js";

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const SHA256 = /^[0-9a-f]{64}$/;
const NUMBER = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/;
const SIGNS = /^[\n\t \p{L}\p{M}\p{N}\p{P}\p{S}]*$/u; // what can be shown, and a new line
const PARTS = ["id", "job", "kind", "at", "entered_at", "by", "entered_by", "device", "body", "note"];
const LONGEST = { text: 500, note: 2000, measure: 20, time: 40, refs: 1000, json: 12 };
const HOWS = ["set", "displayed", "measured", "estimated", "forecast"];

const isText = (value, most = LONGEST.text) =>
  typeof value === "string" && [...value].length <= most && SIGNS.test(value);
const isWhole = (value) => Number.isSafeInteger(value);
const isPlain = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
const isId = (value) => typeof value === "string" && UUID.test(value);

function isDate(value) {
  if (typeof value !== "string" || !/^\d{4}-\d\d-\d\d$/.test(value)) return false;
  const date = new Date(`${value}T00:00:00Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().startsWith(value);
}

const isTime = (value) =>
  typeof value === "string" && value.length <= LONGEST.time && isDate(value.slice(0, 10)) && Number.isFinite(moment(value));

function isMeasure(value, units) {
  if (!isPlain(value) || Object.keys(value).sort().join() !== "how,typed,unit") return false;
  const { typed, unit, how } = value;
  return typeof typed === "string" && typed.length <= LONGEST.measure && NUMBER.test(typed) && units.includes(unit) && HOWS.includes(how);
}

function isJson(value, _, depth = LONGEST.json) {
  if (value === null || typeof value === "boolean" || typeof value === "string") return true;
  if (typeof value === "number") return Number.isFinite(value) && (!Number.isInteger(value) || isWhole(value));
  if (depth === 0) return false;
  return Object.values(value).every((part) => isJson(part, _, depth - 1));
}

const FITS = {
  text: (value) => isText(value),
  word: (value, among) => among.includes(value),
  words: (value, among) => Array.isArray(value) && new Set(value).size === value.length && value.every((part) => among.includes(part)),
  flag: (value) => typeof value === "boolean",
  count: (value) => isWhole(value) && value >= 0,
  measure: isMeasure,
  time: isTime,
  date: isDate,
  ref: isId,
  refs: (value) => Array.isArray(value) && value.length <= LONGEST.refs && value.every(isId),
  sha256: (value) => typeof value === "string" && SHA256.test(value),
  json: isJson,
};

function bodyFault(fields, body) {
  const stranger = Object.keys(body).find((name) => !fields.some((field) => field.name === name));
  if (stranger !== undefined) return stranger;
  const wrong = fields.find(({ name, type, need, among }) => {
    const value = body[name];
    if (value === undefined) return need === "must" || need === "asked";
    return value === null ? need === "must" : !FITS[type](value, among);
  });
  return wrong?.name ?? null;
}

// Name of the first field that does not fit; null when the fact is whole.
export function fault(kinds, fact) {
  if (!isPlain(fact)) return "fact";
  const stranger = Object.keys(fact).find((name) => !PARTS.includes(name));
  if (stranger !== undefined) return stranger;
  if (!Object.hasOwn(kinds, fact.kind)) return "kind";
  for (const name of ["id", "job"]) if (!isId(fact[name])) return name;
  for (const name of ["at", "entered_at"]) if (!isTime(fact[name])) return name;
  for (const name of ["by", "entered_by", "device"]) if (!isText(fact[name])) return name;
  if (!isText(fact.note ?? "", LONGEST.note)) return "note";
  return isPlain(fact.body) ? bodyFault(kinds[fact.kind], fact.body) : "body";
}

// What somebody must have been asked is there from the start: nobody knows yet.
export const blank = (kinds, kind) =>
  Object.fromEntries(kinds[kind].filter(({ need }) => need === "asked").map(({ name }) => [name, null]));
