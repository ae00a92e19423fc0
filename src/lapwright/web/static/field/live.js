// The line to the server: sends what waits, fetches what is new, and keeps a long poll open while
// the page is in sight. Some phones allow no work in the background: it also starts on the page
// coming up, on a connection coming back, and on a button.

import {
  chosen, day, facts, heard, jobs, learn, line, local, onwake, openJob, outbox, prefs, setFit, setHeard, setJobs, setMe,
  shelve, unsent,
} from "./app.js";
import { clock } from "./clock.js";
import { ask, call, entriesAfter } from "./server.js";
import { fitKey, wantsFit } from "./standing.js";

const FIRST_WAIT = 2_000; // ms; doubled up to the longest
const LONGEST_WAIT = 30_000;
const OLD = 300_000; // ms; then the server is asked for the day again though nothing was recorded

let isRunning = false;
let wanted = false; // somebody recorded something while a round was on
let listening = null; // AbortController of the long poll
let failures = 0;
let timer = null;

const note = (changes) => { line.value = { ...line.value, ...changes }; };

async function greet() {
  const { answer, refusal, status } = await ask("api/me");
  if (answer) {
    note({ isSignedOut: answer.login && !answer.account });
    if (answer.account) setMe(answer);
    shelve("skew", clock.skew);
    return Boolean(answer.account);
  }
  note({ isSignedOut: status === 401 });
  return Boolean(refusal && status === 404); // a server without people: nothing to greet
}

async function fetchJobs() {
  const { answer } = await ask("api/jobs");
  if (answer) setJobs((answer.jobs ?? answer).map(({ job, name }) => ({ job, name })));
  if (!chosen.value.job && jobs.value.length === 1) await openJob(jobs.value[0].job);
}

// Take what is new; true when the server was reached.
async function pull(job, { wait, signal } = {}) {
  for (;;) {
    const seq = (await local.get(`seq:${job}`)) ?? 0;
    const { answer } = await entriesAfter(job, seq, { wait, signal });
    if (!answer) return false;
    const found = answer.entries.map(({ fact }) => fact);
    note({ head: answer.head.hash });
    if (found.length) {
      const last = answer.entries.at(-1).seq;
      await local.take(job, found, last).catch(() => {}); // no room: asked again next time
      if (chosen.value.job === job) learn(found);
    }
    if (found.length < 1000) return true;
  }
}

let isFitting = false;

// The server's full fit, and the day's table for when the signal goes. Nobody waits for it:
// sending comes first.
async function fetchFit() {
  if (isFitting) return;
  isFitting = true;
  const before = facts.value.size;
  const [isHeard] = await Promise.all([hear(), fitOnce()]).finally(() => { isFitting = false; });
  const isBehind = isHeard && heard.value.count === null && !unsent.value; // sent in the meantime
  if ((isBehind || facts.value.size !== before) && line.value.isOnline) fetchFit();
}

// What asks for a test, by all triggers and the job's own rules, and the limits for without a signal.
async function hear() {
  const { job } = chosen.value;
  const { lang, units } = prefs.value;
  const count = unsent.value ? null : facts.value.size; // what it has not seen it has not judged
  const { answer } = await ask(`api/jobs/${job}/today?units=${units}&lang=${lang}`);
  if (!answer || job !== chosen.value.job) return false;
  const { chains, rules, cautions, displays } = answer;
  setHeard({ at: clock.now(), count, lang, units, chains, rules, cautions: [...displays, ...cautions] });
  return true;
}

export const linksOf = (chain) => Object.entries(chain).filter(([, id]) => id).map(([link, id]) => `${link}=${id}`).join("&");

async function fitOnce() {
  const { chain, conditions } = day.value;
  if (!chain.machine || !chain.operator || !conditions) return;
  const key = fitKey(chain);
  const stamp = wantsFit(day.value, prefs.value);
  const links = linksOf(chain);
  const { lang, units } = prefs.value;
  const job = chosen.value.job;
  const [fit, drawn] = await Promise.all([
    ask(`api/jobs/${job}/window?units=${units}&lang=${lang}&${links}`),
    ask(`api/jobs/${job}/table?${links}`),
  ]);
  if (job !== chosen.value.job) return;
  if (fit.answer) setFit(key, { answer: fit.answer, stamp, at: clock.now() });
  if (drawn.answer?.particles) setFit(key, { table: drawn.answer });
}

// One round: greet, send, take, ask for the fit. True when the server was reached.
async function round() {
  note({ isSending: true });
  try {
    if (!(await greet())) return false;
    const { lost, status } = await outbox.send(call);
    if (lost) {
      note({ isSignedOut: status === 401 });
      return false;
    }
    await fetchJobs();
    if (chosen.value.job) {
      if (!(await pull(chosen.value.job))) return false;
      fetchFit();
    }
    note({ isOnline: true, lastContact: clock.now() });
    return true;
  } finally {
    note({ isSending: false });
  }
}

// While the page is in sight: what another phone records shows within seconds.
async function listen() {
  while (document.visibilityState === "visible" && chosen.value.job && !wanted) {
    const { job } = chosen.value;
    listening = new AbortController();
    const before = facts.value.size;
    const reached = await pull(job, { wait: true, signal: listening.signal });
    if (listening.signal.aborted) return true; // woken: there is something to send
    if (!reached) return false;
    note({ isOnline: true, lastContact: clock.now() });
    if (facts.value.size !== before || clock.now() - heard.value?.at > OLD) fetchFit();
  }
  return true;
}

async function run() {
  if (isRunning) return;
  isRunning = true;
  clearTimeout(timer);
  wanted = false;
  const reached = (await round()) && (await listen());
  isRunning = false;
  failures = reached ? 0 : failures + 1;
  if (!reached) note({ isOnline: line.value.isSignedOut });
  if (wanted) return void run();
  const wait = Math.min(LONGEST_WAIT, FIRST_WAIT * 2 ** Math.max(0, failures - 1));
  const isWatched = document.visibilityState === "visible";
  if (isWatched || unsent.value) timer = setTimeout(run, wait);
}

// Something to send, or somebody asks.
export function nudge() {
  wanted = true;
  listening?.abort();
  run();
}

export function startLive() {
  onwake(nudge);
  addEventListener("online", nudge);
  addEventListener("offline", () => note({ isOnline: false }));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") nudge();
  });
  nudge();
}
