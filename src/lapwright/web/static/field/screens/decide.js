// The set point, with its reasons, accepted or overruled by somebody who signs for it.

import { Choice, Measure, html, useReader, useState } from "../../kit/kit.js";
import { day, me, put } from "../app.js";
import { Caution, Page, Plain, go, may, measureOf, wordsOf } from "../parts.js";
import { unitFor } from "../quantity.js";
import { standing } from "../standing.js";
import { WindowView, pointOf } from "../windowview.js";
import { rounded, valueIn } from "../../units.js";

const REASONS = ["experience", "sheet_maker", "no_time", "weather", "other"];
const ACCEPTS = ["foreman", "quality"];
const SAME = { f: 5, c: 3, ft_min: 0.25, m_min: 0.08 }; // half a step that a machine can set

// A fact keeps plain numbers: what is not a number is not known.
const plain = (value) => JSON.parse(JSON.stringify(value, (_, part) => (typeof part === "number" && !Number.isFinite(part) ? null : part)));

// The decision fact behind a set point. Shared with the server's word after the phone's own.
export function decisionBody({ chain, welds, stands, air, speed, accepted, reason }) {
  const { question, by } = stands;
  const { curve, welds: marks, ...answer } = stands.answer; // what is drawn follows from the question
  return {
    ...chain,
    test_welds: welds.map(({ weld }) => weld.id),
    question: plain(question ?? {}),
    answer: plain(answer),
    worked_out: by,
    model: answer.model ?? "",
    accepted,
    air,
    speed,
    reason,
  };
}

function evidenceOf(answer, say) {
  const lines = [answer.confirmed_by ? say("decide.confirmed", { number: answer.confirmed_by }) : say("decide.unconfirmed")];
  if (answer.verdict === "top_unknown") lines.push(say("decide.top_unknown"));
  return lines;
}

export function Decide() {
  const reader = useReader();
  const { say, units } = reader;
  const stands = standing.value;
  const point = stands.answer && (pointOf(stands.answer) ?? stands.answer.next);
  const [airUnit, speedUnit] = [unitFor("temperature", units), unitFor("speed", units)];
  const offered = point && {
    air: { value: rounded(point[`air_${airUnit}`], airUnit), unit: airUnit },
    speed: { value: rounded(point[`speed_${speedUnit}`], speedUnit), unit: speedUnit },
  };
  const [isOther, setOther] = useState(false);
  const [air, setAir] = useState(offered?.air);
  const [speed, setSpeed] = useState(offered?.speed);
  const [reason, setReason] = useState(null);
  if (!stands.answer?.verdict) return html`<${Page} tab="test" title=${say("decide.title")} onback=${() => go("test")}><p>${say("by.nobody")}</p><//>`;
  const differs = isOther && air && speed && (
    Math.abs(valueIn(air, airUnit) - valueIn(offered.air, airUnit)) > SAME[airUnit] ||
    Math.abs(valueIn(speed, speedUnit) - valueIn(offered.speed, speedUnit)) > SAME[speedUnit]);
  const needsReason = differs || !stands.answer.certified;
  const mayAccept = ACCEPTS.includes(me.value.role);
  const keep = async () => {
    const { chain, welds } = day.value;
    await put("decision", decisionBody({
      chain, welds, stands, reason, accepted: true, air: measureOf(air, "set"), speed: measureOf(speed, "set"),
    }));
    go("run");
  };
  const waits = !mayAccept ? say("decide.role") : !air || !speed ? say("test.setting_first") : needsReason && !reason ? say("decide.reason_first") : null;
  const label = say(differs ? "decide.overrule" : stands.answer.certified ? "decide.accept" : "decide.accept_unproved");
  return html`<${Page} tab="test" title=${say("decide.title")} onback=${() => go("test")} action=${may("decision") ? { label, waits, onpress: keep } : undefined}>
    <${WindowView} stands=${stands} />
    <ul class="plain" role="list">${evidenceOf(stands.answer, say).map((text) => html`<li>${text}</li>`)}</ul>
    ${!isOther && html`<${Plain} label=${say("decide.other")} onpress=${() => setOther(true)} />`}
    ${isOther && html`
      <${Measure} id="air" label=${say("field.air")} measure="air" steps=${{ f: 10, c: 5 }} usual=${offered.air} quantity=${air} onchange=${setAir} />
      <${Measure} id="speed" label=${say("field.speed")} measure="speed" steps=${{ ft_min: 0.5, m_min: 0.1 }} usual=${offered.speed} quantity=${speed} onchange=${setSpeed} />`}
    ${needsReason && html`<${Choice} id="reason" legend=${say("decide.why")} options=${wordsOf(say, "reason", REASONS)} value=${reason} onpick=${setReason} />`}
    <${Caution} code="no_promise" kind="note" />
  <//>`;
}
