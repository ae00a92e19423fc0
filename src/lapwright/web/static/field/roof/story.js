// The story of one seam, stretch by stretch from station 0 on: who, with what, what stands behind
// it, and what is open.

import { Shape, html, useReader } from "../../kit/kit.js";
import { record, tables } from "../app.js";
import { Page, Plain, go, may } from "../parts.js";
import { AsOf } from "./map.js";
import { joints, roof, useRoof } from "./kept.js";
import { sumsText } from "./legend.js";
import { Sample } from "./lines.js";
import { Evidence } from "./photos.js";
import { Tape, spanText } from "./tape.js";
import { chapters } from "./told.js";

const ACTIONS = { defect: "probe/mend" };

export function Lines({ lines }) {
  const { say } = useReader();
  return html`<ul class="told" role="list">${lines.map(({ code, kind, text, of, failure }) => html`<li key=${code + text} class=${kind ?? ""}>
    ${kind && html`<${Shape} name=${kind} />`}<span>${text}
    ${failure && html` <a href=${`#/map/suspect/${failure}`}>${say("story.suspect.why")}</a>`}
    ${code === "defect" && kind !== "done" && may("repair") && html` <a href=${`#/${ACTIONS.defect}/${of}`}>${say("story.mend")}</a>`}
    ${of && html`<${Evidence} of=${of} />`}</span>
  </li>`)}</ul>`;
}

// T-joints of the seam and what the register says of each.
function Joints({ seam, reader }) {
  const { say } = reader;
  const latest = new Map(record.value.all("t_joint").map((fact) => [fact.body.number, fact]));
  const found = joints.value.get(seam) ?? [];
  if (!found.length) return null;
  const state = ({ id }) => {
    const fact = latest.get(id);
    return fact ? say(`t_joint.${fact.body.result ?? "unprobed"}`) : say("why_open.not_made");
  };
  return html`<details class="joints"><summary>${say("story.joints", { count: found.length })}</summary>
    <ul class="told" role="list">${found.map((joint) => html`<li key=${joint.id}>${joint.id}: ${state(joint)}</li>`)}</ul>
  </details>`;
}

// One run: first what holds for all of it, then its parts.
function Chapter({ from, to, run, proof, parts }) {
  const reader = useReader();
  const { say } = reader;
  return html`<section class="chapter">
    <h2>${spanText({ from, to }, reader)}</h2>
    ${run.length > 0 && html`<${Lines} lines=${run} />`}
    ${proof.length > 0 && html`<details><summary>${say("story.proof")}</summary><${Lines} lines=${proof} /></details>`}
    ${parts.map((part) => html`<div class="part" key=${part.from}>
      <h3><${Sample} state=${part.state} /><span>${parts.length > 1 && `${spanText(part, reader)}: `}${say(`roof.${part.state}`)}</span></h3>
      ${part.lines.length > 0 && html`<${Lines} lines=${part.lines} />`}
    </div>`)}
  </section>`;
}

export function Story({ seam }) {
  const reader = useReader();
  const { say } = reader;
  useRoof();
  const pieces = roof.value.get(seam) ?? [];
  const about = { record: record.value, rules: tables.rules, reader };
  return html`<${Page} tab="probe" title=${say("story.title", { seam })} onback=${() => go("map")}>
    <${AsOf} />
    ${!pieces.length && html`<p>${say("story.unknown")}</p>`}
    <${Tape} pieces=${pieces} />
    ${pieces.length > 0 && html`<p>${sumsText(pieces, reader)}</p>`}
    ${chapters(seam, pieces, about).map((each) => html`<${Chapter} key=${each.from} ...${each} />`)}
    <${Joints} seam=${seam} reader=${reader} />
    <div class="kit-buttons">
      ${may("probe") && html`<${Plain} label=${say("probe.walk", { seam })} onpress=${() => go("probe", "walk", seam)} />`}
      ${may("defect") && html`<${Plain} label=${say("probe.mark")} onpress=${() => go("probe", "defect", seam)} />`}
    </div>
  <//>`;
}
