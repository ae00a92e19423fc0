// What the server last said of the roof, kept for when the signal goes: its trace and its doubts.

import { batch, computed, signal, useSignalEffect } from "../../kit/html.js";
import { chosen, facts, line, local, prefs, record, shelve, unsent } from "../app.js";
import { clock } from "../clock.js";
import { ask } from "../server.js";
import { drawingOf, jointsOf, newestPlans, plannedSpans } from "./drawing.js";
import { rooftop } from "./states.js";

const CALM = 1_500; // ms without a new fact before the trace is asked anew

// {job, trace, suspects, at, isAsking}: both answers of one job, and when they came.
export const kept = signal({ job: null, trace: null, suspects: null, at: null, isAsking: false });

export const cause = signal("local"); // what is thought to lie behind a failure: decides where to cut

export const plans = computed(() => newestPlans(record.value));
export const drawing = computed(() => drawingOf(plans.value));
export const joints = computed(() => jointsOf(plans.value));
export const roof = computed(() =>
  rooftop({ planned: plannedSpans(plans.value), record: record.value, ...answersOf(chosen.value.job) }));

const answersOf = (job) => (kept.value.job === job ? kept.value : {});
const place = (job) => `roof:${job}`;

async function recall(job) {
  const found = await local.get(place(job));
  if (kept.value.job !== job) kept.value = { isAsking: false, trace: null, suspects: null, at: null, ...found, job };
}

async function look(job) {
  const { units, lang } = prefs.value;
  kept.value = { ...kept.value, isAsking: true };
  const [trace, suspects] = await Promise.all(["trace?", `suspects?cause=${cause.value}&`].map((name) =>
    ask(`api/jobs/${job}/${name}units=${units}&lang=${lang}`)));
  if (chosen.value.job !== job) return;
  batch(() => {
    const answer = { trace: trace.answer, suspects: suspects.answer, at: clock.now() };
    const isWhole = trace.answer && suspects.answer;
    kept.value = { ...kept.value, ...(isWhole ? answer : {}), isAsking: false };
    if (isWhole) shelve(place(job), { ...answer });
  });
}

// While a screen of the roof is in sight its answers follow the record.
export function useRoof() {
  useSignalEffect(() => {
    const { job } = chosen.value;
    const { isOnline } = line.value;
    // Read, so that they wake it: what came, what was received, who reads.
    void [facts.value.size, unsent.value, prefs.value.units, prefs.value.lang, cause.value];
    let timer = null;
    if (job)
      recall(job).then(() => {
        if (isOnline) timer = setTimeout(() => look(job), kept.value.trace ? CALM : 0);
      });
    return () => clearTimeout(timer);
  });
}
