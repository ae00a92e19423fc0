// What an inspector listed, with the evidence that closes it: open ones first. Nothing closes
// without a repair and a second look by another person.

import { html, useReader } from "../../kit/kit.js";
import { record } from "../app.js";
import { Page, go, may } from "../parts.js";
import { defectsOf } from "../seams.js";
import { Lines } from "./story.js";
import { defectLines } from "./told.js";

const RANK = ["open", "repaired", "closed"];

export function Punch() {
  const reader = useReader();
  const { say } = reader;
  const found = defectsOf(record.value)
    .filter(({ defect }) => defect.body.found_by === "inspector")
    .sort((one, other) => RANK.indexOf(one.state) - RANK.indexOf(other.state));
  const open = found.filter(({ state }) => state !== "closed").length;
  const action = may("defect") ? { label: say("punch.add"), onpress: () => go("probe", "defect") } : undefined;
  return html`<${Page} tab="probe" title=${say("punch.title")} onback=${() => go("map")} action=${action}>
    <p>${found.length ? say("punch.count", { open, all: found.length }) : say("punch.none")}</p>
    ${found.map((each) => html`<section class="chapter" key=${each.defect.id}>
      <h2>${say("punch.line", { number: each.defect.body.number, seam: each.defect.body.seam })} ${say(`punch.${each.state}`)}</h2>
      <${Lines} lines=${defectLines(each, { record: record.value, reader })} />
    </section>`)}
  <//>`;
}
