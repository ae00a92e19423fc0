// What the page knows and how it changes: one record, one outbox, what this phone has chosen.
// Screens read the signals and call these functions; nothing here draws.

import { batch, computed, signal } from "../kit/html.js";
import { blank, fault } from "./check.js";
import { clock } from "./clock.js";
import { dayState } from "./day.js";
import { newId, stamp } from "./ids.js";
import { openLocal } from "./local.js";
import { Outbox } from "./outbox.js";
import { Record, WITHDRAWN } from "./record.js";
import { talk } from "./server.js";
import { prepared } from "./shrink.js";

export const tables = { kinds: {}, rules: {}, symptoms: [] }; // written from the server's own, tables.json
export let local = null;
export let outbox = null;

export const me = signal({ account: "local", name: "", role: "foreman", device: "", login: false });
export const jobs = signal([]); // [{job, name}]
export const prefs = signal({ lang: "en", units: "us", isSun: false });
export const chosen = signal({}); // job, person, machine, operator, power_setup, pairing
export const facts = signal(new Map());
export const pending = signal({ facts: [], photos: [] });
export const line = signal({ isOnline: true, lastContact: null, isSending: false, isSignedOut: false });
export const fits = signal({}); // by chain: the server's last answer, and the table to weigh with
export const heard = signal(null); // the server's last word on the day of this job, and when it was worked out
export const now = signal(clock.now());
export const done = signal(null); // the last fact of one's own, to be told and undone
export const isFull = signal(false); // the phone has no room: facts live as long as the page

export const record = computed(() => new Record(tables.kinds, facts.value.values()));
export const day = computed(() =>
  dayState(record.value, {
    chosen: chosen.value,
    now: now.value,
    rules: heard.value?.rules ?? tables.rules,
    heard: heard.value && { ...heard.value, isFresh: heard.value.count === facts.value.size },
  }));
export const unsent = computed(() => pending.value.facts.length + pending.value.photos.length);
export const refused = computed(() =>
  [...pending.value.facts, ...pending.value.photos].filter((each) => each.refused));

let wake = () => {}; // the live line, once it runs
export const onwake = (act) => { wake = act; };

const keys = { prefs: "prefs", me: "me", jobs: "jobs", chosen: (job) => `chosen:${job}`, fits: (job) => `fits:${job}`, heard: (job) => `heard:${job}` };

// The shelf is a convenience: what it has no room for is asked again.
export const shelve = (key, value) => local.set(key, value).catch(() => { isFull.value = true; });

export async function begin() {
  const response = await fetch(new URL("tables.json", import.meta.url));
  Object.assign(tables, await response.json());
  local = await openLocal();
  outbox = new Outbox({
    storage: local,
    onchange: (waiting) => {
      pending.value = waiting;
      isFull.value = outbox.loose > 0;
    },
  });
  const guess = navigator.language.startsWith("es") ? "es" : "en";
  prefs.value = { ...prefs.value, lang: guess, ...(await local.get(keys.prefs)) };
  me.value = { ...me.value, ...(await local.get(keys.me)) };
  if (!me.value.device) setMe({ ...me.value, device: newId() });
  jobs.value = (await local.get(keys.jobs)) ?? [];
  clock.skew = (await local.get("skew")) ?? 0;
  talk.lang = prefs.value.lang;
  pending.value = await outbox.pending();
  const last = await local.get("job");
  if (last) await openJob(last);
}

export function setMe(who) {
  const device = who.login ? who.device : me.value.device || newId(); // without login the phone names itself
  me.value = { ...who, device };
  talk.csrf = who.csrf ?? "";
  shelve(keys.me, me.value);
}

export function setJobs(found) {
  const own = jobs.value.filter(({ job }) => !found.some((other) => other.job === job));
  jobs.value = [...found, ...own];
  shelve(keys.jobs, jobs.value);
}

export function setPrefs(changes) {
  prefs.value = { ...prefs.value, ...changes };
  talk.lang = prefs.value.lang;
  shelve(keys.prefs, prefs.value);
}

export async function openJob(job) {
  const known = await local.factsOf(job);
  const waiting = (await outbox.pending()).facts.map(({ fact }) => fact).filter((fact) => fact.job === job);
  const kept = await local.get(keys.chosen(job));
  const fit = await local.get(keys.fits(job));
  const last = await local.get(keys.heard(job));
  batch(() => {
    facts.value = new Map([...known, ...waiting].map((fact) => [fact.id, fact]));
    chosen.value = offered({ person: null, operator: null, ...kept, job });
    fits.value = fit ?? {};
    heard.value = last ?? null;
    now.value = clock.now();
  });
  shelve("job", job);
  wake();
}

// The last of each kind is offered, as soon as one is known; what this phone has stays.
function offered(own) {
  const last = (kind) => own[kind] ?? record.value.all(kind).at(-1)?.id ?? null;
  return { ...own, machine: last("machine"), power_setup: last("power_setup"), pairing: last("pairing") };
}

export function choose(changes) {
  chosen.value = { ...chosen.value, ...changes };
  shelve(keys.chosen(chosen.value.job), chosen.value);
  const person = changes.person && record.value.get(changes.person);
  if (person) setPrefs({ lang: person.body.language, units: person.body.units });
}

export function setFit(key, fit) {
  fits.value = { ...fits.value, [key]: { ...fits.value[key], ...fit } };
  shelve(keys.fits(chosen.value.job), fits.value);
}

export function setHeard(word) {
  heard.value = word;
  shelve(keys.heard(chosen.value.job), word);
}

export function learn(found) {
  if (!found.length) return;
  const all = new Map(facts.value);
  for (const fact of found) all.set(fact.id, fact);
  batch(() => {
    facts.value = all;
    if (chosen.value.job) chosen.value = offered(chosen.value);
  });
}

// Record facts in one step: [[kind, body, more], ...]. `more`: at, by, note, id, job.
export async function putAll(list) {
  const entered = Date.now();
  const made = list.map(([kind, body, { at, by, note = "", id, job } = {}]) => ({
    id: id ?? newId(entered),
    job: job ?? chosen.value.job,
    kind,
    at: at ?? stamp(clock.now()),
    entered_at: stamp(entered),
    by: by ?? chosen.value.person ?? "",
    entered_by: me.value.account,
    device: me.value.device,
    body: { ...blank(tables.kinds, kind), ...body },
    note,
  }));
  for (const fact of made) {
    const wrong = fault(tables.kinds, fact);
    if (wrong) throw new Error(`${fact.kind}: ${wrong} does not fit`);
  }
  batch(() => {
    learn(made);
    now.value = clock.now();
    done.value = made.at(-1).kind === "correction" ? null : made.map(({ id }) => id);
  });
  await outbox.add(made);
  wake();
  return made;
}

export const put = async (kind, body, more) => (await putAll([[kind, body, more]]))[0];

// Nothing is erased: what was recorded by mistake is taken back by a fact of its own.
export const correct = (of, field, { old = null, value = null, reason = "mistyped" }) =>
  put("correction", { of, field, old, new: value, reason });
export const withdraw = (ids, reason = "mistyped") =>
  putAll(ids.map((of) => ["correction", { of, field: WITHDRAWN, old: false, new: true, reason }]));

export async function putPhoto(of, picture) {
  const { sha, blob } = await prepared(picture);
  const fact = await put("photo", { file: sha, of });
  await outbox.addPhoto({ sha, job: fact.job, blob });
  wake();
  return sha;
}
