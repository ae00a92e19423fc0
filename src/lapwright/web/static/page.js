// The page: puts the parts together, asks the machine that computes, keeps what is typed.

import { answerParts, chartParts, spoken } from "./answer.js";
import { choice, h, show } from "./dom.js";
import { entryParts, placeOf } from "./entry.js";
import { csvOf, rowsOf, weldsIn } from "./rows.js";
import { nowEntryParts, nowParts, spokenNow } from "./now.js";
import * as present from "./present.js";
import * as morning from "./state.js";
import { askExample, askRows, askWindow } from "./talk.js";
import { rounded, spelt, unitOf } from "./units.js";
import { weldParts } from "./welds.js";
import { LANGUAGES, loadWords, speaker } from "./words.js";

const RETRY = 15_000; // ms between tries while the connection is lost
const MINUTE = 60_000; // ms
const PAUSE = 400; // ms of quiet before typed conditions are asked about

const place = (id) => document.getElementById(id);
const storage = storageOfBrowser();
const state = morning.load(storage, navigator.language.startsWith("es") ? "es" : "en");
const link = { lost: false, refusal: null, isOld: false, notice: "", turn: 0, timer: 0 };
let kept = true;
let gaps = [];
let say = null;

const question = () => JSON.stringify(morning.question(state));
const keep = () => (kept = morning.save(storage, state));

function storageOfBrowser() {
  try {
    return localStorage;
  } catch {
    return null; // closed to this page: it works, and says that it keeps nothing
  }
}

// --- asking ------------------------------------------------------------------------------

async function refresh() {
  clearTimeout(link.timer);
  const turn = ++link.turn;
  const asked = question();
  if (!morning.isAskable(JSON.parse(asked))) {
    Object.assign(link, { lost: false, refusal: null });
    state.answer = null;
    drawNotice();
    drawAnswer();
    return;
  }
  drawNotice(); // an answer to older entries is marked as such at once
  const { answer, refusal, lost } = await askWindow(JSON.parse(asked));
  if (turn !== link.turn) return; // a later question is under way
  Object.assign(link, { lost: Boolean(lost), refusal: refusal ? refusalText(refusal, asked) : null });
  if (answer) hear(answer, asked);
  if (lost) link.timer = setTimeout(refresh, RETRY);
  drawNotice();
}

function hear(answer, asked) {
  state.answer = { body: answer, at: new Date().toISOString(), asked };
  keep();
  drawAnswer();
  place("spoken").textContent = `${spoken(answer, state.units, say)} ${spokenNow(answer.now)}`;
}

// Rows are the machine's way to count; a person knows the weld.
function refusalText({ message, row }, asked) {
  const weld = JSON.parse(asked).rows[row - 1]?.weld;
  return weld ? `${message} ${say("refused", { name: weld })}` : message;
}

function refreshSoon() {
  clearTimeout(link.timer);
  const isAnswered = !link.refusal && question() === state.answer?.asked;
  if (!isAnswered) link.timer = setTimeout(refresh, PAUSE);
}

const unitsOfAnswer = () => JSON.parse(state.answer.asked).units;

// --- drawing -----------------------------------------------------------------------------

function drawNotice() {
  const isOld = Boolean(state.answer) && state.answer.asked !== question();
  const lines = [
    link.lost ? lostText(isOld) : link.refusal,
    kept ? null : say("not_kept"),
  ].filter(Boolean);
  const isExample = morning.inView(state).some((weld) => weld.origin === "example");
  link.isOld = isOld && (link.lost || Boolean(link.refusal));
  place("answer").classList.toggle("old", link.isOld);
  drawNow();
  const notice = JSON.stringify([lines, isExample, state.lang]);
  if (notice === link.notice) return; // an alert drawn again would be read out again
  link.notice = notice;
  const again = h("button", { type: "button", id: "again", onclick: refresh }, say("again"));
  show(
    place("notice"),
    lines.length
      ? h("div", { class: "notice", role: "alert" }, lines.map((line) => h("p", {}, line)), link.lost ? again : null)
      : null,
    isExample ? h("p", { class: "invented" }, say("invented")) : null,
  );
}

function lostText(isOld) {
  if (!state.answer) return say("lost.no_answer");
  return say("lost", { time: timeText(state.answer.at) }) + (isOld ? ` ${say("lost.newer")}` : "");
}

const timeText = (at) =>
  new Date(at).toLocaleTimeString(state.lang, { hour: "2-digit", minute: "2-digit", hour12: false });

// Drawn each minute too: what was said of this moment grows old.
function drawNow() {
  const rows = state.answer?.body.now; // an answer kept by an earlier release has none
  place("now").hidden = !rows;
  const oldSince = link.isOld ? state.answer?.at : null;
  const about = { now: state.now, clock: Date.now(), oldSince, time: timeText, say, onstillso };
  show(place("now-rows"), rows ? nowParts(rows, about) : null);
}

function drawNowEntry() {
  const does = { ontype: onnowtype, onstep: onnowstep, ondone: refreshSoon, oncord, onclear };
  show(place("now-entry"), nowEntryParts({ state, say, ...does }));
}

function drawAnswer() {
  const { answer } = state;
  const units = answer ? unitsOfAnswer() : state.units;
  const parts = answer
    ? answerParts(answer.body, { units, say, onfill })
    : [h("h2", { id: "verdict" }, say(morning.isAskable(morning.question(state)) ? "no_answer" : "say_how_warm"))];
  show(place("answer"), parts);
  drawChart();
}

function drawChart() {
  const width = place("chart").clientWidth;
  const { answer } = state;
  const about = { units: answer && unitsOfAnswer(), welds: morning.inView(state), width, say };
  show(place("chart"), answer ? chartParts(answer.body, about) : null);
}

function drawEntry() {
  const part = { state, gaps, say, name: morning.nextName(state) };
  show(place("entry"), entryParts({ ...part, ontype, onstep, onpull, onheat, onmembrane }));
}

function drawWelds() {
  show(place("welds"), weldParts({ state, say, onout, onexample, onempty, onearlier, onopen, onsave }));
}

function drawStart() {
  const button = (key, onclick) => h("button", { type: "button", class: "main", onclick }, say(key));
  show(
    place("start"),
    h("p", {}, say("welcome")),
    h("div", { class: "buttons" }, button("start.example", onexample), button("start.empty", onempty)),
  );
  place("start").hidden = state.started;
}

function drawSwitches() {
  const toggle = (id, options) =>
    choice({ id, legend: say(id), options, value: state[id], onpick: (key) => onswitch(id, key) });
  show(
    place("switches"),
    toggle("lang", LANGUAGES.map((key) => ({ key, label: key.toUpperCase(), spoken: say(`lang.${key}`) }))),
    toggle("units", [
      { key: "us", label: "°F", spoken: say("units.us") },
      { key: "metric", label: "°C", spoken: say("units.metric") },
    ]),
  );
}

function draw() {
  say = speaker(state.lang);
  document.documentElement.lang = state.lang;
  document.title = `lapwright: ${say("title")}`;
  place("title").textContent = say("title");
  drawSwitches();
  drawStart();
  drawNotice();
  drawAnswer();
  drawNowEntry();
  drawEntry();
  drawWelds();
}

// --- what a person does ------------------------------------------------------------------

function changed() {
  keep();
  draw();
  refresh();
}

function onswitch(id, key) {
  state[id] = key;
  changed();
}

function ontype(measure, text) {
  morning.type(state, measure, text);
  keep();
  refreshSoon();
}

function onstep(measure, direction) {
  morning.step(state, measure, direction);
  place(measure).value = spelt(state.draft[measure].value, say);
  keep();
  refreshSoon();
}

const moment = () => new Date().toISOString();

// Asked about when the field is left: half a number of volts would be a weak supply.
function onnowtype(measure, text) {
  present.typeNow(state, measure, text, moment());
  keep();
}

function onnowstep(measure, direction) {
  present.stepNow(state, measure, direction, moment());
  place(`now-${measure}`).value = spelt(state.now[measure]?.value ?? "", say);
  keep();
  refreshSoon();
}

function oncord(name) {
  present.pickCord(state, name);
  keep();
  refreshSoon();
}

function onclear() {
  state.now = {};
  changed();
}

function onstillso() {
  present.sayStillSo(state, moment());
  changed();
}

function onpull(n, pull) {
  state.draft.pulls[n] = pull;
  keep();
}

function onheat(heat) {
  state.draft.heat = heat;
  keep();
}

function onmembrane(key) {
  state.membrane = key;
  changed();
}

function onfill(next) {
  const { units } = JSON.parse(state.answer.asked);
  for (const measure of ["air", "speed"]) {
    const unit = unitOf(measure, units);
    state.draft[measure] = { value: rounded(next[`${measure}_${unit}`], unit), unit };
  }
  keep();
  drawEntry();
  place("entry").focus();
}

function onadd(event) {
  event.preventDefault();
  gaps = morning.missing(state);
  if (gaps.length) {
    drawEntry();
    place(placeOf(gaps[0])).focus();
    return;
  }
  morning.addWeld(state);
  changed();
  toAnswer();
}

// Notices stand above the answer, so the page goes all the way up.
function toAnswer() {
  place("answer").focus({ preventScroll: true });
  scrollTo(0, 0);
}

function onout(name, out) {
  morning.setOut(state, name, out);
  changed();
}

async function onlist(asking, origin) {
  const { answer, refusal, lost } = await asking;
  if (answer) {
    morning.replaceWelds(state, weldsIn(answer.rows, origin));
    changed();
    toAnswer();
    return;
  }
  Object.assign(link, { lost: Boolean(lost), refusal: refusal?.message ?? null });
  drawNotice();
}

const onexample = () => onlist(askExample(state.lang), "example");
const onopen = (file) => onlist(askRows(file, state.lang), "file");

function onempty() {
  morning.replaceWelds(state, []);
  changed();
  place("entry").focus();
}

function onearlier() {
  morning.swapEarlier(state);
  changed();
}

function onsave() {
  const text = csvOf(rowsOf(morning.inView(state)));
  const address = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
  h("a", { href: address, download: say("file_name") }).click();
  URL.revokeObjectURL(address);
}

// --- start -------------------------------------------------------------------------------

await loadWords();
draw();
refresh();
place("entry").addEventListener("submit", onadd);
let drawnWidth = place("chart").clientWidth;
new ResizeObserver(() => {
  if (place("chart").clientWidth === drawnWidth) return;
  drawnWidth = place("chart").clientWidth;
  drawChart();
}).observe(place("chart"));
addEventListener("online", refresh);
document.addEventListener("visibilitychange", () => {
  if (document.hidden) return;
  if (link.lost) refresh();
  else drawNow();
});
setInterval(drawNow, MINUTE);
navigator.serviceWorker?.register("worker.js"); // only there on https and on this machine
