// What stands about the window now: the server's answer while it counts every weld there is, else
// the phone's own, weighed with the day's table and said to be so.

import { chosen, day, fits, prefs, record } from "./app.js";
import { computed } from "../kit/html.js";
import { weigh } from "./weigh/window.js";
import { weighable } from "./day.js";
import { fromSi, unitFor } from "./quantity.js";

// Tables and answers are of one machine, operator, power and pairing, as the server tells them.
export const fitKey = (chain) => [chain.machine, chain.operator, chain.power_setup, chain.pairing].join("|");

// What an answer has counted: the welds with their strips and looks, conditions, reader.
export const wantsFit = ({ welds, conditions }, { lang, units }) =>
  JSON.stringify([
    welds.map(({ weld, result }) => [weld.id, weld.body, result.heat, result.strips.map(({ id, body }) => [id, body.pull])]),
    conditions?.id ?? null,
    lang,
    units,
  ]);

// Temperatures with the reader's suffix, as the server's figures have them.
function edge({ low, mid, high }, unit) {
  const air = (value) => (value === null ? null : fromSi(value, unit));
  return { [`low_${unit}`]: air(low), [`mid_${unit}`]: air(mid), [`high_${unit}`]: air(high) };
}

function setting(point, units) {
  if (!point) return null;
  const [air, speed] = [unitFor("temperature", units), unitFor("speed", units)];
  return { [`air_${air}`]: fromSi(point.air, air), [`speed_${speed}`]: fromSi(point.speed, speed) };
}

// The phone's answer in the shape of the server's figures, so that one screen shows both.
function asFigures(own, units) {
  const air = unitFor("temperature", units);
  const { setPoint: point } = own;
  return {
    verdict: own.verdict,
    certified: own.certified,
    sure: own.sure,
    bottom: edge(own.bottom, air),
    top: edge(own.top, air),
    set_point: point && { ...setting(point, units), p_sound: point.pSound, p_sound_drift: point.pSoundDrift },
    next: own.next && { ...setting(own.next, units), reason_code: own.next.reason, done: own.next.done },
    confirmed_by: own.confirmedBy,
    model: own.model,
    version: own.version,
    welds: [],
  };
}

const weighed = new Map(); // by table and welds: one weighing lasts until a strip comes

function own(table, welds) {
  const key = JSON.stringify(welds);
  if (weighed.get("table") !== table) weighed.clear();
  weighed.set("table", table);
  if (!weighed.has(key)) weighed.set(key, weigh(table, welds));
  return weighed.get(key);
}

// A table drawn for the same sheet and machine still says more than none.
function tableFor(key, all) {
  if (all[key]?.table) return { table: all[key].table, isOwn: true };
  const [machine] = key.split("|");
  const other = Object.entries(all).find(([name, fit]) => fit.table && name.startsWith(`${machine}|`));
  return other ? { table: other[1].table, isOwn: false } : null;
}

// {by: server | phone | nobody, answer, question}. The question holds all that the answer
// depends on, for the record.
export const standing = computed(() => {
  if (!chosen.value.job) return { by: "nobody" };
  const { chain, welds } = day.value;
  const { units } = prefs.value;
  const key = fitKey(chain);
  const fit = fits.value[key];
  const counted = welds
    .map(({ weld, result }) => weighable(record.value, weld, result))
    .filter(Boolean);
  if (fit?.answer && fit.stamp === wantsFit(day.value, prefs.value))
    return { by: "server", answer: fit.answer, at: fit.at, question: fit.answer.question ?? { welds: counted } };
  const found = tableFor(key, fits.value);
  if (!found) return { by: "nobody", answer: fit?.answer ?? null, at: fit?.at };
  const answer = asFigures(own(found.table, counted), units);
  const question = { table: { version: found.table.version, model: found.table.model, asked: found.table.asked, is_own: found.isOwn }, welds: counted };
  return { by: "phone", answer, question, isOwn: found.isOwn };
});
