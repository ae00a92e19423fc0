// The day as it stands: what is open, what is not sent, what stands unproved; who holds the phone.

import { Choice, ListRow, Rows, Shape, html, sunMode, useReader, useState } from "../../kit/kit.js";
import {
  chosen, choose, day, heard, isFull, learn, line, me, now, outbox, pending, prefs, put, record, refused, setPrefs, unsent,
} from "../app.js";
import { clock } from "../clock.js";
import { nudge } from "../live.js";
import { personName } from "../names.js";
import { Page, Plain, go, may, timeOf } from "../parts.js";
import { lengthText } from "../quantity.js";
import { defectsOf, joined, lengthOf, seamsOf } from "../seams.js";
import { stamp } from "../ids.js";
import { TestAgain } from "./run.js";

// Counts of what is open at this moment; a sign-off freezes them.
function openNow() {
  const seams = seamsOf(record.value);
  const defects = defectsOf(record.value);
  const feet = (name) => seams.reduce((total, seam) => total + lengthOf(joined(seam[name])), 0);
  return {
    unproved: feet("orphan"),
    unprobed: feet("unprobed"),
    defects: defects.filter(({ state }) => state === "open").length,
    repaired: defects.filter(({ state }) => state === "repaired").length,
    running: seams.filter(({ open }) => open).length,
    tests_due: day.value.due.length,
  };
}

function Open() {
  const reader = useReader();
  const { say } = reader;
  const open = openNow();
  const rows = [
    ["unproved", open.unproved > 0, lengthText(open.unproved, reader), "probe"],
    ["unprobed", open.unprobed > 0, lengthText(open.unprobed, reader), "probe"],
    ["defects", open.defects > 0, open.defects, "probe"],
    ["repaired", open.repaired > 0, open.repaired, "probe"],
    ["running", open.running > 0, open.running, "run"],
  ];
  return html`<${Rows} label=${say("today.open")}>${rows.map(([name, isOpen, figure, tab]) => html`<${ListRow}
    key=${name}
    mark=${html`<${Shape} name=${isOpen ? "test" : "done"} />`}
    title=${say(`today.${name}`)}
    note=${isOpen ? figure : say("today.none_open")}
    onpress=${isOpen ? () => go(tab) : undefined}
  />`)}<//>`;
}

async function saveFile() {
  const blob = new Blob([await outbox.exportFile()], { type: "application/x-ndjson" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = `lapwright-${stamp(clock.now()).slice(0, 16).replace(/\D/g, "")}.jsonl`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

// Such a file from another phone: taken in, it is sent from here.
function LoadFile() {
  const { say } = useReader();
  const [told, setTold] = useState("");
  const load = async ({ target }) => {
    const [file] = target.files;
    target.value = "";
    const found = file && (await outbox.importFile(await file.text()));
    setTold(found ? say("line.load_file.taken", { count: found.length }) : say("line.load_file.wrong"));
    learn((found ?? []).filter(({ job }) => job === chosen.value.job));
    nudge();
  };
  return html`<label class="kit-button"><input type="file" id="load-file" onChange=${load} /><span>${say("line.load_file")}</span></label>
    <span role="status">${told}</span>`;
}

function Unsent() {
  const { say } = useReader();
  const { isOnline, lastContact, isSending } = line.value;
  const seen = lastContact ? say("line.last", { time: timeOf(stamp(lastContact)) }) : say("line.never");
  const skew = Math.round(clock.skew / 60_000);
  const sent = isSending ? "line.sending" : isOnline ? "line.on.long" : "line.off.long";
  return html`<h2 id="unsent">${unsent.value ? say("line.unsent", { count: unsent.value }) : say("line.all_sent")}</h2>
    <p>${say(sent)} ${seen}</p>
    ${isFull.value && html`<p class="heed stop">${say("full.why")}</p>`}
    ${skew !== 0 && html`<p class="heed note">${say("line.skew", { minutes: Math.abs(skew), way: say(skew > 0 ? "line.behind" : "line.ahead") })}</p>`}
    ${unsent.value > 0 && html`<${Plain} label=${say("line.save_file")} onpress=${saveFile} />`}
    ${refused.value.length > 0 && html`<div class="refused">
      <p><strong>${say("line.refused", { count: refused.value.length })}</strong></p>
      <ul class="plain" role="list">${refused.value.map((each) => html`<li key=${each.id ?? each.sha}>
        ${say(`kind.${each.fact?.kind ?? "photo"}`)}: ${each.refused.message || each.refused.code}
      </li>`)}</ul>
      <${Plain} label=${say("line.retry")} onpress=${() => outbox.retry().then(nudge)} />
    </div>`}`;
}

// The papers of the server: opened by the browser itself, never kept on the phone.
function Papers() {
  const { say, units } = useReader();
  const { job } = chosen.value;
  if (!job || !["foreman", "quality", "inspector"].includes(me.value.role)) return null;
  if (!line.value.isOnline) return html`<p>${say("today.paper.off")}</p>`;
  const at = (day) => `../api/jobs/${job}/closeout?lang=${say.lang}&units=${units}${day}`;
  return html`<a class="kit-button" target="_blank" href=${at(`&day=${stamp(now.value).slice(0, 10)}`)}>${say("today.paper.day")}</a>
    <a class="kit-button" target="_blank" href=${at("")}>${say("today.paper.job")}</a>`;
}

export function Today() {
  const { say } = useReader();
  const people = record.value.all("person").map(({ id, body }) => ({ key: id, label: body.name }));
  const facts = pending.value.facts.length;
  const send = { label: say("line.send"), waits: line.value.isSending ? say("line.sending") : null, onpress: nudge };
  const sign = { label: say("sign.title"), onpress: () => go("today", "sign") };
  return html`<${Page} tab="today" title=${say("today.title")} banner=${html`<${TestAgain} />`} action=${unsent.value ? send : may("sign_off") && chosen.value.job ? sign : undefined}>
    ${people.length > 0 && html`<${Choice} id="person" legend=${say("person.holds")} options=${people} value=${chosen.value.person} onpick=${(person) => choose({ person })} />`}
    <${Unsent} key=${facts} />
    ${heard.value?.cautions.map(({ says }) => html`<p key=${says} class="heed test"><${Shape} name="test" /><span>${says}</span></p>`)}
    <h2>${say("today.open")}</h2>
    <${Open} />
    <div class="kit-buttons">
      <${Plain} label=${say("today.list")} onpress=${() => go("today", "list")} />
      ${unsent.value > 0 && may("sign_off") && html`<${Plain} ...${sign} />`}
      <${LoadFile} />
      <${Papers} />
      <${Plain} label=${say("settings.title")} onpress=${() => go("today", "settings")} />
      <${Plain} label=${say("learn.title")} onpress=${() => go("today", "learn")} />
      ${me.value.role === "foreman" && me.value.login && html`<${Plain} label=${say("phones.title")} onpress=${() => go("today", "phones")} />`}
    </div>
  <//>`;
}

// Language, units and sun mode; each person brings their own, and may change them here.
export function Settings() {
  const { say } = useReader();
  const { lang, units, isSun } = prefs.value;
  return html`<${Page} tab="today" title=${say("settings.title")} onback=${() => go("today")}>
    <${Choice} id="language" legend=${say("field.language")} options=${["en", "es"].map((key) => ({ key, label: say(`word.language.${key}`) }))} value=${lang} onpick=${(key) => setPrefs({ lang: key })} />
    <${Choice} id="units" legend=${say("field.units")} options=${["us", "metric"].map((key) => ({ key, label: say(`word.units.${key}`) }))} value=${units} onpick=${(key) => setPrefs({ units: key })} />
    <${Choice} id="sun" legend=${say("settings.sun")} hint=${say("settings.sun.hint")} options=${["off", "on"].map((key) => ({ key, label: say(`settings.sun.${key}`) }))} value=${isSun ? "on" : "off"} onpick=${(key) => { setPrefs({ isSun: key === "on" }); sunMode(key === "on"); }} />
    <p class="heed note"><span>${say("settings.keep")}</span></p>
  <//>`;
}

const NOTHING = "0".repeat(64); // end of a chain that holds no fact yet
const STATEMENTS = ["seen", "accepted", "accepted_with_open"];

// Somebody signs for the day as it stands: the counts are frozen, and the end of the chain.
export function SignOff() {
  const reader = useReader();
  const { say } = reader;
  const [statement, setStatement] = useState(null);
  const open = openNow();
  const isOpen = Object.values(open).some(Boolean);
  const keep = async () => {
    const counts = Object.fromEntries(Object.entries(open).map(([name, value]) => [name, Math.round(value * 100) / 100]));
    await put("sign_off", { scope: "day", statement, open: counts, head: line.value.head ?? NOTHING });
    go("today");
  };
  const options = (isOpen ? ["seen", "accepted_with_open"] : STATEMENTS.slice(0, 2)).map((key) => ({ key, label: say(`word.statement.${key}`) }));
  return html`<${Page} tab="today" title=${say("sign.title")} onback=${() => go("today")} action=${{ label: say("sign.keep"), waits: statement ? null : say("sign.first"), onpress: keep }}>
    <p>${say("sign.who", { name: personName(record.value.get(chosen.value.person)), time: timeOf(stamp(now.value)) })}</p>
    <${Open} />
    <${Choice} id="statement" legend=${say("field.statement")} options=${options} value=${statement} onpick=${setStatement} />
  <//>`;
}
