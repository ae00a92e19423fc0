// One test weld from hot to cold: the look while it is hot, the wait, the strips.

import { Choice, Drawer, Measure, PhotoField, Placed, Timer, YesNo, html, signal, useReader, useState } from "../../kit/kit.js";
import { stripIcon } from "../../marks.js";
import { correct, facts, put, putPhoto, record, tables } from "../app.js";
import { clock } from "../clock.js";
import { moment } from "../ids.js";
import { Caution, Page, Plain, flagOf, go, measureOf, quantityOf, wordsOf } from "../parts.js";
import { CORNERS, PULLS, SIGNS, resultOf } from "../strips.js";
import { canKeepPhotos } from "../shrink.js";

const MAIN = PULLS.slice(0, 3); // the four others are a tap further
const notLooked = signal(new Set()); // welds that nobody looked at while they were hot
const closed = signal(new Set()); // welds somebody is done with, with fewer strips than the rule asks

const hasLook = (weld) => record.value.all("hot_look").some(({ body }) => body.test_weld === weld.id);

// The latest weld wants more strips, and nobody said that was all.
export const isUnderWay = ({ weld, result }, n, all) =>
  n === all.length - 1 && result.strips.length < tables.rules.test_weld_strips && !closed.value.has(weld.id);

export function Strips({ id }) {
  const { say } = useReader();
  const weld = record.value.get(id);
  if (!weld) return html`<${Page} tab="test" title=${say("test.title")} onback=${() => go("test")}><p>${say("gone")}</p><//>`;
  return hasLook(weld) || notLooked.value.has(id) ? html`<${Pull} weld=${weld} />` : html`<${Look} weld=${weld} />`;
}

// Before anything is cold: the only evidence of the top.
function Look({ weld }) {
  const { say } = useReader();
  const [corner, setCorner] = useState(null);
  const [signs, setSigns] = useState({});
  const [oneByOne, setOneByOne] = useState(false);
  const corners = [...wordsOf(say, "corner", CORNERS), { key: "not_looked", label: say("kit.not_looked") }];
  const keep = (answers) =>
    put("hot_look", {
      test_weld: weld.id,
      corner: corner === "not_looked" ? null : corner,
      ...Object.fromEntries(SIGNS.map((sign) => [sign, flagOf(answers[sign])])),
    });
  const none = Object.fromEntries(SIGNS.map((sign) => [sign, "no"]));
  const waits = corner ? null : say("look.corner_first");
  const action = oneByOne
    ? { label: say("look.keep"), waits: waits ?? (SIGNS.every((sign) => signs[sign]) ? null : say("look.signs_first")), onpress: () => keep(signs) }
    : { label: say("look.none"), note: say("look.none.note"), waits, onpress: () => keep(none) };
  const isPvc = record.value.get(record.value.get(weld.body.pairing)?.body.upper)?.body.membrane === "pvc";
  return html`<${Page} key="look" tab="test" title=${say("look.title", { number: weld.body.number })} onback=${() => go("test")} action=${action}>
    <${Caution} code=${isPvc ? "pvc" : "hot"} kind="stop" />
    <${Choice} id="corner" legend=${say("field.corner")} hint=${say("look.corner.hint")} options=${corners} value=${corner} onpick=${setCorner} />
    ${!oneByOne && html`<div>
      <p class="signs-name"><strong>${say("look.signs")}</strong></p>
      <p class="signs">${SIGNS.map((sign) => say(`field.${sign}`)).join(" · ")}</p>
    </div>`}
    ${oneByOne && SIGNS.map((sign) => html`<${YesNo} key=${sign} id=${sign} legend=${say(`field.${sign}`)} value=${signs[sign] ?? null} onpick=${(key) => setSigns({ ...signs, [sign]: key })} />`)}
    ${!oneByOne && html`<${Plain} label=${say("look.one_by_one")} onpress=${() => setOneByOne(true)} />`}
    <${Plain} label=${say("look.nobody")} note=${say("look.nobody.note")} onpress=${() => { notLooked.value = new Set([...notLooked.value, weld.id]); }} />
  <//>`;
}

function Pull({ weld }) {
  const { say } = useReader();
  const [more, setMore] = useState(false);
  const [looking, setLooking] = useState(null); // the strip in the drawer
  const { strips } = resultOf(record.value, weld, tables.rules);
  const number = String(Math.max(0, ...strips.map(({ body }) => Number(body.number)).filter(Number.isFinite)) + 1);
  const grade = (pull) => {
    setMore(false);
    const minutes = Math.max(0, Math.round((clock.now() * 1000 - moment(weld.at)) / 6e7));
    return put("strip", { of: weld.id, number, pull, cooled: { typed: String(minutes), unit: "min", how: "measured" } });
  };
  const finish = () => {
    closed.value = new Set([...closed.value, weld.id]);
    go("test");
  };
  const tile = (pull) => html`<button type="button" class="kit-button pull" key=${pull} id=${`pull-${pull}`} onClick=${() => grade(pull)}>
    <${Placed} element=${stripIcon(pull)} /><span>${say(`word.pull.${pull}`)}<small>${say(`pull.${pull}`)}</small></span>
  </button>`;
  const wanted = tables.rules.test_weld_strips;
  const done = { label: say("strips.done"), waits: strips.length ? null : say("strips.first"), note: strips.length < wanted && strips.length ? say("strips.few", { wanted }) : undefined, onpress: finish };
  return html`<${Page} key="pull" tab="test" title=${say("strips.title", { number: weld.body.number })} onback=${() => go("test")} action=${done}>
    <${Timer} label=${say("cooling")} ready=${say("cooling.ready")} started=${moment(weld.at) / 1000} lasts=${tables.rules.strip_cooling} clockNow=${clock.now} />
    ${!hasLook(weld) && html`<p class="heed test">${say("look.missing")}</p>`}
    ${strips.length > 0 && html`<div class="graded" role="group" aria-label=${say("strips.graded")}>
      ${strips.map((strip) => html`<button type="button" class="kit-button" key=${strip.id} aria-label=${say("strips.open", { number: strip.body.number, pull: say(`word.pull.${strip.body.pull}`) })} onClick=${() => setLooking(strip.id)}>
        <${Placed} element=${stripIcon(strip.body.pull)} /><span>${strip.body.number} ${say(`word.pull.${strip.body.pull}`)}</span>
      </button>`)}
    </div>`}
    <div role="group" aria-label=${say("strips.next", { number })}>
      <p class="strip-name"><strong>${say("strips.next", { number })}</strong> ${say("strips.hint")}</p>
      <div class="pulls">${(more ? PULLS : MAIN).map(tile)}
        ${!more && html`<button type="button" class="kit-button" id="pull-more" onClick=${() => setMore(true)}>${say("strips.more")}</button>`}
      </div>
    </div>
    <${OneStrip} id=${looking} onclose=${() => setLooking(null)} />
  <//>`;
}

// One strip again: its photo, its band, another grade.
function OneStrip({ id, onclose }) {
  const { say } = useReader();
  const strip = id && record.value.get(id);
  const [photo, setPhoto] = useState(null);
  const [fault, setFault] = useState("");
  const takePhoto = async (picture) => {
    setPhoto(picture);
    setFault("");
    if (!picture) return;
    try {
      await putPhoto(id, picture);
    } catch {
      setFault(say("photo.failed"));
    }
  };
  const band = async (quantity) => {
    if (quantity) await correct(id, "band", { old: strip.body.band ?? null, value: measureOf(quantity, "estimated"), reason: "looked_again" });
  };
  const kept = strip ? [...facts.value.values()].filter((fact) => fact.kind === "photo" && fact.body.of === id).length : 0;
  return html`<${Drawer} open=${Boolean(strip)} title=${strip ? say("strips.one", { number: strip.body.number }) : ""} onclose=${() => { setPhoto(null); onclose(); }}>
    ${strip && html`
      <${Choice} id="regrade" legend=${say("strips.regrade")} options=${wordsOf(say, "pull", PULLS)} value=${strip.body.pull} onpick=${(pull) => correct(id, "pull", { old: strip.body.pull, value: pull, reason: "looked_again" })} />
      <${BandField} quantity=${quantityOf(strip.body.band)} onkeep=${band} />
      ${canKeepPhotos()
        ? html`<${PhotoField} id="strip-photo" label=${say("strips.photo")} photo=${photo} onphoto=${takePhoto} />`
        : html`<p class="heed note">${say("photo.not_here")}</p>`}
      ${kept > 0 && html`<p id="photo-kept">${say("photo.kept", { count: kept })}</p>`}
      <p class="kit-fault" role="status">${fault}</p>`}
  <//>`;
}

function BandField({ quantity, onkeep }) {
  const { say } = useReader();
  const [draft, setDraft] = useState(quantity);
  const isNew = draft && (draft.value !== quantity?.value || draft.unit !== quantity?.unit);
  return html`<div>
    <${Measure} id="band" label=${say("field.band")} measure="band" steps=${{ in: 0.1, mm: 2 }} usual=${{ value: "1.5", unit: "in" }} quantity=${draft} onchange=${setDraft} />
    ${isNew && html`<${Plain} label=${say("keep")} onpress=${() => onkeep(draft)} />`}
  </div>`;
}
