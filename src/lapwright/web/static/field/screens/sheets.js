// The two sheets that are joined. The pairing, not the lot, is what a test weld qualifies.

import { Choice, Measure, html, useReader, useState } from "../../kit/kit.js";
import { chosen, choose, putAll, record } from "../app.js";
import { newId } from "../ids.js";
import { COLOURS, lotName, newestOf, pairingName } from "../names.js";
import { Caution, Page, Plain, TextField, go, may, measureOf, wordsOf } from "../parts.js";

export function Sheets() {
  const reader = useReader();
  const { say } = reader;
  const pairings = newestOf(record.value.all("pairing"), (one) => pairingName(record.value, one, reader));
  const pick = (key) => {
    choose({ pairing: key });
    go("start");
  };
  const add = { label: say("pairing.new"), onpress: () => go("start", "pairing", "new") };
  const options = pairings.map((one) => ({ key: one.id, label: pairingName(record.value, one, reader) }));
  const isPvc = record.value.get(record.value.get(chosen.value.pairing)?.body.upper)?.body.membrane === "pvc";
  return html`<${Page} tab="start" title=${say("start.pairing.title")} onback=${() => go("start")} action=${pairings.length ? undefined : add}>
    ${isPvc && html`<${Caution} code="pvc" kind="stop" />`}
    ${pairings.length
      ? html`<${Choice} id="pairing" legend=${say("pairing.which")} options=${options} value=${chosen.value.pairing} onpick=${pick} />`
      : html`<p>${say("pairing.none")}</p>`}
    ${pairings.length > 0 && may("pairing") && html`<${Plain} ...${add} />`}
  <//>`;
}

export function NewSheets() {
  const reader = useReader();
  const { say, units } = reader;
  const [lot, setLot] = useState({ membrane: "tpo", backing: "reinforced", colour: "", number: "" });
  const [thickness, setThickness] = useState({ value: "60", unit: "mil" });
  const [lower, setLower] = useState("same");
  const [aged, setAged] = useState("no");
  const change = (changes) => setLot({ ...lot, ...changes });
  const lots = newestOf(record.value.all("lot"), (one) => lotName(one, reader));
  const keep = async () => {
    const upper = newId();
    const body = {
      ...lot, number: lot.number.trim() || null, thickness: measureOf(thickness, "displayed"),
    };
    const [, pairing] = await putAll([
      ["lot", body, { id: upper }],
      ["pairing", { upper, lower: lower === "same" ? upper : lower, aged: aged === "not_known" ? null : aged === "yes" }],
    ]);
    choose({ pairing: pairing.id });
    go("start");
  };
  const waits = !thickness ? say("pairing.thickness_first") : lot.colour ? null : say("pairing.colour_first");
  const unit = units === "us" ? "mil" : "mm";
  return html`<${Page} tab="start" title=${say("pairing.new")} onback=${() => go("start", "pairing")} action=${{ label: say("pairing.keep"), waits, onpress: keep }}>
    ${lot.membrane === "pvc" && html`<${Caution} code="pvc" kind="stop" />`}
    <${Choice} id="membrane" legend=${say("field.membrane")} options=${["tpo", "pvc", "kee"].map((key) => ({ key, label: key.toUpperCase() }))} value=${lot.membrane} onpick=${(membrane) => change({ membrane })} />
    <${Measure} id="thickness" label=${say("field.thickness")} unit=${unit} steps=${{ mil: 5, mm: 0.1 }} usual=${{ value: "60", unit: "mil" }} decimals=${unit === "mm" ? 2 : 0} quantity=${thickness} onchange=${setThickness} />
    <${Choice} id="colour" legend=${say("field.colour")} options=${wordsOf(say, "colour", COLOURS)} value=${lot.colour} onpick=${(colour) => change({ colour })} />
    <${Choice} id="backing" legend=${say("field.backing")} options=${wordsOf(say, "backing", ["reinforced", "fleece", "unreinforced"])} value=${lot.backing} onpick=${(backing) => change({ backing })} />
    <${TextField} id="lot-number" label=${say("field.lot_number")} value=${lot.number} oninput=${(number) => change({ number })} />
    ${lots.length > 0 && html`<${Choice}
      id="lower"
      legend=${say("field.lower")}
      options=${[{ key: "same", label: say("pairing.same") }, ...lots.map((one) => ({ key: one.id, label: lotName(one, reader) }))]}
      value=${lower}
      onpick=${setLower}
    />`}
    <${Choice} id="aged" legend=${say("field.aged")} options=${["no", "yes", "not_known"].map((key) => ({ key, label: say(`answer.${key}`) }))} value=${aged} onpick=${setAged} />
  <//>`;
}
