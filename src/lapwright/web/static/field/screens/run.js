// Welding the roof: start and stop a run on a seam, tell what changed, and hear when a test is due.

import { Banner, BigButton, Choice, StationField, YesNo, html, useReader, useState } from "../../kit/kit.js";
import { chosen, day, heard, now, prefs, put, record } from "../app.js";
import { DOUBT } from "../day.js";
import { moment, stamp } from "../ids.js";
import { personName } from "../names.js";
import { Caution, Page, Plain, TextField, flagOf, go, may, measureOf, quantityOf, timeOf, wordsOf } from "../parts.js";
import { fromSi, lengthText, si, unitFor, written } from "../quantity.js";
import { nextSeam } from "../seams.js";
import { standing } from "../standing.js";
import { settingText } from "../windowview.js";
import { rounded } from "../../units.js";

const REASONS = ["seam_end", "lunch", "weather", "cord", "fuel", "track", "fault", "other"];

// Why a test is due: in the server's words with its figure and clause while it said so, and when.
function because(name, say) {
  const said = day.value.said.get(name);
  if (!said) return say(`trigger.${name}`);
  const { at, lang, units } = heard.value;
  const isOurs = lang === prefs.value.lang && units === prefs.value.units;
  const why = (isOurs ? said.says : say(`trigger.${name}`)).replace(/\.$/, "");
  const source = isOurs && said.source ? ` (${said.source})` : "";
  return `${why[0].toUpperCase()}${why.slice(1)}${source}. ${say("again.as_of", { time: timeOf(stamp(at)) })}`;
}

// "Test again", with its reason, the first that asks for it.
export function TestAgain() {
  const reader = useReader();
  const { say } = reader;
  const [reason] = day.value.due;
  if (!reason) return null;
  const risk = day.value.sinceProof > 0 ? say("again.risk", { length: lengthText(day.value.sinceProof, reader) }) : "";
  return html`<${Banner}
    kind=${reason === DOUBT ? "stop" : "test"}
    urgent
    text=${say("again")}
    reason=${`${because(reason, say)} ${risk}`}
    action=${{ label: say("again.answer"), onpress: () => go("run", "again") }}
  />`;
}

// What is in force: the set point somebody signed, or that there is none.
function InForce() {
  const reader = useReader();
  const { say } = reader;
  const { decision, sinceProof, proof } = day.value;
  const setting = decision?.body.air
    ? html`<p class="blade-setting"><span>${written(decision.body.air, "temperature", reader)}</span>${" "}<span>${written(decision.body.speed, "speed", reader)}</span></p>
        <p>${say("run.decided", { time: timeOf(decision.at), by: personName(record.value.get(decision.by)) })}${decision.body.worked_out === "phone" ? ` ${say("run.by_phone")}` : ""}</p>`
    : html`<p class="none">${say("run.no_decision")}</p>`;
  return html`<div class=${decision ? "blade" : "blade guess"} id="in-force">
      <p class="blade-name">${say("set_point")}</p>${setting}
    </div>
    <p class="since" id="since"><strong>${lengthText(sinceProof, reader)}</strong> ${proof ? say("run.since", { time: timeOf(proof.at), number: proof.body.number }) : say("run.since_none")}</p>
    <${SecondWord} />`;
}

// The phone decided without a signal; on contact the server's full fit has its say.
function SecondWord() {
  const reader = useReader();
  const { say } = reader;
  const { decision } = day.value;
  const stands = standing.value;
  if (decision?.body.worked_out !== "phone" || stands.by !== "server" || !stands.answer.set_point) return null;
  return html`<${Banner}
    kind=${stands.answer.certified ? "note" : "test"}
    text=${say("run.second_word")}
    reason=${`${say(`verdict.${stands.answer.verdict}`)} ${settingText(stands.answer.set_point, reader)}`}
    action=${{ label: say("run.second_word.look"), onpress: () => go("test", "decide") }}
  />`;
}

export function Run() {
  const { say } = useReader();
  const { open, chain } = day.value;
  if (!chain.machine || !chain.operator) {
    const lacks = !chosen.value.job ? "job" : !chain.operator ? "people" : "machine";
    return html`<${Page} tab="run" title=${say("run.title")} action=${{ label: say(`start.do.${lacks}`), onpress: () => go("start", lacks) }}><p>${say("test.lacks")}</p><//>`;
  }
  return open ? html`<${Running} run=${open} />` : html`<${Ready} />`;
}

function Ready() {
  const reader = useReader();
  const { say } = reader;
  const { decision, chain, lastEnd } = day.value;
  const lastRun = record.value.all("run").at(-1);
  const isDone = lastEnd?.body.reason === "seam_end";
  const [seam, setSeam] = useState(lastRun ? (isDone ? nextSeam(lastRun.body.seam) : lastRun.body.seam) : "A-S001");
  const [station, setStation] = useState(() => {
    if (!lastEnd || isDone) return { value: "0", unit: unitFor("length", reader.units) };
    return quantityOf(lastEnd.body.station);
  });
  const start = () =>
    put("run", {
      ...chain,
      seam: seam.trim(),
      station: measureOf(station, "estimated"),
      decision: decision?.id ?? null,
      air: decision?.body.air ?? null,
      speed: decision?.body.speed ?? null,
    }, { by: chain.operator });
  const waits = !seam.trim() ? say("run.seam_first") : station ? null : say("run.station_first");
  return html`<${Page} key="ready" tab="run" title=${say("run.title")} banner=${html`<${TestAgain} />`} action=${may("run") ? { label: say("run.start"), note: decision ? undefined : say("run.start.orphan"), waits, onpress: start } : undefined}>
    <${InForce} />
    <${Caution} code="backwards" />
    <${TextField} id="seam" label=${say("field.seam")} hint=${say("run.seam.hint")} value=${seam} oninput=${setSeam} />
    <${StationField} id="station" label=${say("run.from")} quantity=${station} onchange=${setStation} />
    <${Plain} label=${say("change.title")} onpress=${() => go("run", "change")} />
    <${Doubt} />
    <${Others} />
  <//>`;
}

// Who else is welding now; their runs are started and stopped on their own phones.
function Others() {
  const reader = useReader();
  const { say } = reader;
  const { others } = day.value;
  const name = (id) => record.value.get(id)?.body;
  return others.length > 0 && html`<section id="others"><h2>${say("run.others")}</h2>
    <ul class="plain" role="list">${others.map(({ id, at, body }) => html`<li key=${id}>${say("run.other", {
      machine: name(body.machine)?.number ?? "?", seam: body.seam, station: written(body.station, "length", reader), time: timeOf(at), name: name(body.operator)?.name ?? "?",
    })}</li>`)}</ul></section>`;
}

// Nobody has to give a reason for not trusting a weld.
function Doubt() {
  const { say } = useReader();
  const { chain } = day.value;
  const doubt = () => put("event", { trigger: DOUBT, machine: chain.machine, operator: chain.operator, answer: "happened" });
  return html`<${BigButton} kind="stop" shape="stop" label=${say("doubt")} onpress=${doubt} />`;
}

function Running({ run }) {
  const reader = useReader();
  const { say } = reader;
  const minutes = Math.max(0, Math.floor((now.value * 1000 - moment(run.at)) / 6e7));
  const speed = si(run.body.speed);
  const guess = speed === null ? null : speed * ((now.value * 1000 - moment(run.at)) / 1e6);
  return html`<${Page} key="running" tab="run" title=${say("run.on", { seam: run.body.seam })} banner=${html`<${TestAgain} />`} action=${{ label: say("run.stop"), onpress: () => go("run", "stop") }}>
    <div class="running">
      <p>${say("run.from_station", { station: written(run.body.station, "length", reader), time: timeOf(run.at) })}</p>
      <p><strong>${say("run.minutes", { minutes })}</strong>${guess !== null && ` ${say("run.about", { length: lengthText(guess, reader) })}`}</p>
    </div>
    <${InForce} />
    <${Plain} label=${say("change.title")} onpress=${() => go("run", "change")} />
    <${Doubt} />
    <${Others} />
  <//>`;
}

export function Stop() {
  const reader = useReader();
  const { say, units } = reader;
  const run = day.value.open;
  const unit = unitFor("length", units);
  const [station, setStation] = useState(() => {
    const speed = run && si(run.body.speed);
    if (!speed) return null;
    const length = speed * ((now.value * 1000 - moment(run.at)) / 1e6);
    return { value: rounded(fromSi(si(run.body.station) + length, unit), unit, units === "us" ? 0 : 1), unit };
  });
  const [reason, setReason] = useState("seam_end");
  const [lifted, setLifted] = useState("yes");
  if (!run) return html`<${Page} tab="run" title=${say("run.title")} onback=${() => go("run")}><p>${say("run.none")}</p><//>`;
  const keep = async () => {
    await put("run_end", {
      run: run.id, station: measureOf(station, "estimated"), reason, nozzle_lifted: flagOf(lifted),
    }, { by: run.body.operator });
    go("run");
  };
  const waits = station ? null : say("run.station_first");
  return html`<${Page} tab="run" title=${say("run.stop_title", { seam: run.body.seam })} onback=${() => go("run")} action=${{ label: say("run.stop_keep"), waits, onpress: keep }}>
    <${Caution} code="park" kind="stop" />
    <${StationField} id="station" label=${say("run.to")} hint=${say("run.to.hint", { station: written(run.body.station, "length", reader) })} quantity=${station} onchange=${setStation} />
    <${Choice} id="stop-reason" legend=${say("field.stop_reason")} options=${wordsOf(say, "stop_reason", REASONS)} value=${reason} onpick=${setReason} />
    <${YesNo} id="lifted" legend=${say("field.nozzle_lifted")} value=${lifted} onpick=${setLifted} />
  <//>`;
}

// The answer to "test again": weld one, put it off, or overrule it with a reason.
export function Again() {
  const { say } = useReader();
  const [reason, setReason] = useState(null);
  const { due, chain } = day.value;
  const [trigger] = due;
  const answered = (answer, more = {}) => put("event", { trigger, machine: chain.machine, operator: chain.operator, answer, reason, ...more }).then(() => go("run"));
  if (!trigger) return html`<${Page} tab="run" title=${say("again")} onback=${() => go("run")}><p>${say("again.none")}</p><//>`;
  const until = () => new Date(now.value + 30 * 60_000).toISOString();
  return html`<${Page} tab="run" title=${say("again")} onback=${() => go("run")} action=${{ label: say("again.test"), onpress: () => go("test") }}>
    <ul class="plain due" role="list">${due.map((name) => html`<li key=${name}>${because(name, say)}</li>`)}</ul>
    ${trigger === DOUBT
      ? html`<p>${say("again.doubt")}</p>`
      : html`<${Choice} id="again-reason" legend=${say("again.why")} options=${wordsOf(say, "event_reason", ["weather", "no_time", "no_machine", "checked", "other"])} value=${reason} onpick=${setReason} />
        <${Plain} label=${say("again.put_off")} waits=${reason ? null : say("again.reason_first")} onpress=${() => answered("put_off", { until: until() })} />
        <${Plain} label=${say("again.overrule")} waits=${reason ? null : say("again.reason_first")} onpress=${() => answered("overruled")} />`}
  <//>`;
}
