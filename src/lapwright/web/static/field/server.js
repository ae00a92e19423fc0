// Talking to the server: where it is, who we are to it, and its clock. Whether anybody is there
// shows in the answer, never in a guess; a stale answer of a cache is never taken for one.

import { clock } from "./clock.js";

export const ROOT = new URL("../", import.meta.url);
const PATIENCE = 20_000; // ms; past it the connection counts as lost
const LONG_POLL = 25; // s; the longest the server waits before it says "nothing new"

export const talk = { csrf: "", lang: "en" };

// As fetch, with what every request of ours carries.
export async function call(path, { headers = {}, patience = PATIENCE, signal, ...options } = {}) {
  const asked = Date.now();
  const timeout = AbortSignal.timeout(patience);
  const response = await fetch(new URL(path, ROOT), {
    ...options,
    headers: { "Accept-Language": talk.lang, ...(talk.csrf ? { "X-CSRF": talk.csrf } : {}), ...headers },
    cache: "no-store",
    signal: signal ? AbortSignal.any([signal, timeout]) : timeout,
  });
  clock.hear(response.headers.get("Date"), asked, Date.now());
  return response;
}

// {answer} or {refusal: {code, message}, status} or {lost: true}.
export async function ask(path, { body, ...options } = {}) {
  try {
    const json = body === undefined ? {} : { body: JSON.stringify(body), headers: { "Content-Type": "application/json" } };
    const response = await call(path, { ...options, ...json });
    const told = await response.json();
    return response.ok ? { answer: told } : { refusal: told.error ?? {}, status: response.status };
  } catch {
    return { lost: true };
  }
}

export const post = (path, body) => ask(path, { method: "POST", body });

// Entries of a job's chain after a place in it; `wait` keeps the line open until there are some.
export const entriesAfter = (job, seq, { wait = 0, signal } = {}) =>
  ask(`api/jobs/${job}/facts?after=${seq}&limit=1000${wait ? `&wait=${LONG_POLL}` : ""}`, {
    signal,
    patience: PATIENCE + (wait ? LONG_POLL * 1000 : 0),
  });
