// The field page comes up: words, record, screens, and the line to the server.

import { Reader, effect, html, render, signal, sunMode, useEffect } from "../kit/kit.js";
import { loadWords, speaker } from "../words.js";
import { begin, chosen, day, done, now, prefs } from "./app.js";
import { clock } from "./clock.js";
import { startLive } from "./live.js";
import { Change } from "./screens/change.js";
import { Conditions } from "./screens/conditions.js";
import { Decide } from "./screens/decide.js";
import { Job, NewJob } from "./screens/job.js";
import { Join, Phones } from "./screens/join.js";
import { Checks, Machine, NewMachine } from "./screens/machine.js";
import { Cut, CutStrips, Mend, TJoint } from "./screens/mend.js";
import { NewPerson, People } from "./screens/people.js";
import { NewPower, Power } from "./screens/power.js";
import { Mark, Probe, Walk } from "./screens/probe.js";
import { Again, Run, Stop } from "./screens/run.js";
import { NewSheets, Sheets } from "./screens/sheets.js";
import { Start } from "./screens/start.js";
import { Strips } from "./screens/strips.js";
import { NewWeld, Test } from "./screens/test.js";
import { Settings, SignOff, Today } from "./screens/today.js";

const BEAT = 15_000; // ms between two looks at the clock
const SEAMLESS = ["#/", ""]; // where an opened page goes by itself

const route = signal("");
const token = signal(new URLSearchParams(location.search).has("join") ? location.hash.slice(1) : "");

// Address after the # to a screen; what stands behind it is the seam or the fact.
const SCREENS = {
  start: () => html`<${Start} />`,
  "start/job": () => html`<${Job} />`,
  "start/job/new": () => html`<${NewJob} />`,
  "start/people": () => html`<${People} />`,
  "start/people/new": () => html`<${NewPerson} />`,
  "start/machine": () => html`<${Machine} />`,
  "start/machine/new": () => html`<${NewMachine} />`,
  "start/checks": () => html`<${Checks} />`,
  "start/pairing": () => html`<${Sheets} />`,
  "start/pairing/new": () => html`<${NewSheets} />`,
  "start/power": () => html`<${Power} />`,
  "start/power/new": () => html`<${NewPower} />`,
  "start/conditions": () => html`<${Conditions} />`,
  test: () => html`<${Test} />`,
  "test/weld": () => html`<${NewWeld} />`,
  "test/conditions": () => html`<${Conditions} after=${["test"]} />`,
  "test/decide": () => html`<${Decide} />`,
  "test/strips": (id) => html`<${Strips} id=${id} />`,
  run: () => html`<${Run} />`,
  "run/stop": () => html`<${Stop} />`,
  "run/change": () => html`<${Change} />`,
  "run/again": () => html`<${Again} />`,
  "run/conditions": () => html`<${Conditions} after=${["run"]} />`,
  probe: () => html`<${Probe} />`,
  "probe/walk": (seam) => html`<${Walk} seam=${seam} />`,
  "probe/defect": (seam) => html`<${Mark} seam=${seam} />`,
  "probe/mend": (id) => html`<${Mend} id=${id} />`,
  "probe/cut": (id) => (id ? html`<${CutStrips} id=${id} />` : html`<${Cut} />`),
  "probe/t-joint": () => html`<${TJoint} />`,
  today: () => html`<${Today} />`,
  "today/settings": () => html`<${Settings} />`,
  "today/sign": () => html`<${SignOff} />`,
  "today/phones": () => html`<${Phones} />`,
  "today/join": () => html`<${Join} />`,
};

// Screens kept on the phone like the rest, and loaded when the first of them is opened.
const LATER = {
  map: () => import("./roof/routes.js"),
  "test/paper": () => import("./screens/later.js"),
  "today/list": () => import("./screens/later.js"),
  "today/learn": () => import("./learn/routes.js"),
};
const later = signal({});
const laterOf = (path) => Object.keys(LATER).find((head) => `${path}/`.startsWith(`${head}/`));

function screenAt(path) {
  const screens = laterOf(path) ? later.value : SCREENS;
  if (screens[path]) return screens[path]();
  const cut = path.lastIndexOf("/");
  const screen = screens[path.slice(0, cut)]?.(decodeURIComponent(path.slice(cut + 1)));
  return screen ?? (laterOf(path) ? null : SCREENS.start());
}

// A page opened in the middle of the day comes up where the work is.
const where = () => (!chosen.value.job ? "start" : day.value.open ? "run" : day.value.conditions ? "test" : "start");

function App() {
  const { lang, units } = prefs.value;
  const path = route.value || where();
  useEffect(() => { scrollTo(0, 0); }, [path]);
  return html`<${Reader} say=${speaker(lang)} units=${units}>
    ${token.value ? html`<${Join} token=${token.value} />` : html`<div key=${path}>${screenAt(path)}</div>`}
  <//>`;
}

// What was recorded can be undone on the screen it led to; one screen later it is history.
let toldBefore = null;

function follow() {
  if (done.value === toldBefore) done.value = null;
  toldBefore = done.value;
  if (token.value && location.hash.startsWith("#/")) token.value = "";
  if (!token.value) route.value = SEAMLESS.includes(location.hash) ? "" : location.hash.slice(2);
  const head = laterOf(route.value);
  if (head)
    LATER[head]().then((found) => { later.value = { ...later.value, ...found.SCREENS }; }, () => { location.hash = head === "map" ? "#/probe" : `#/${head.split("/")[0]}`; });
  now.value = clock.now();
}

async function start() {
  const own = new URL(".", import.meta.url);
  await Promise.all([loadWords(new URL("../kit/", own), own, new URL("said/", own)), begin()]);
  follow();
  addEventListener("hashchange", follow);
  setInterval(() => { now.value = clock.now(); }, BEAT);
  effect(() => {
    document.documentElement.lang = prefs.value.lang;
    sunMode(prefs.value.isSun);
  });
  render(html`<${App} />`, document.getElementById("page"));
  startLive();
  navigator.storage?.persist?.();
  navigator.serviceWorker?.register(new URL("worker.js", own)).catch(() => {});
}

start();
