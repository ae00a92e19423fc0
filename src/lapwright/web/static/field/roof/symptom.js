// Somebody sees something: what it likely comes from and what to do. The table lies on the phone;
// what the record makes likely comes first, as soon as the server has been asked.

import { ListRow, Rows, Shape, html, signal, useEffect, useReader } from "../../kit/kit.js";
import { chosen, line, local, prefs, put, shelve, tables } from "../app.js";
import { ask } from "../server.js";
import { Page, Plain, go, may } from "../parts.js";

const ranked = signal(null); // {job, symptoms, spoken}: the server's ranking, kept for when the signal goes

async function rank(job) {
  const place = `symptoms:${job}`;
  if (ranked.value?.job !== job) ranked.value = (await local.get(place)) ?? null;
  const { units, lang } = prefs.value;
  const { answer } = await ask(`api/jobs/${job}/symptoms?units=${units}&lang=${lang}`);
  if (!answer || chosen.value.job !== job) return;
  ranked.value = { job, ...answer };
  shelve(place, ranked.value);
}

const answer = () => (ranked.value && ranked.value.job === chosen.value.job ? ranked.value : { symptoms: [], spoken: [] });
const rankedOf = (name) => answer().symptoms.find(({ code }) => code === name);

function useRanking() {
  useEffect(() => { if (chosen.value.job) rank(chosen.value.job); }, [chosen.value.job, line.value.isOnline]);
}

export function Symptoms() {
  const { say } = useReader();
  useRanking();
  const { spoken } = answer();
  const rest = tables.symptoms.map(({ name }) => name).filter((name) => !spoken.includes(name));
  const row = (name) => html`<${ListRow}
    key=${name}
    title=${say(`symptom.${name}`)}
    note=${spoken.includes(name) ? rankedOf(name).clues.join("; ") : undefined}
    onpress=${() => go("map", "symptom", name)}
  />`;
  return html`<${Page} tab="probe" title=${say("symptom.title")} onback=${() => go("map")}>
    ${spoken.length > 0 && html`<h2>${say("symptom.spoken")}</h2><${Rows} label=${say("symptom.spoken")}>${spoken.map(row)}<//>`}
    <h2>${say("symptom.pick")}</h2>
    <${Rows} label=${say("symptom.pick")}>${rest.map(row)}<//>
  <//>`;
}

export function Symptom({ name }) {
  const { say } = useReader();
  useRanking();
  const row = tables.symptoms.find((each) => each.name === name);
  if (!row) return html`<${Symptoms} />`;
  const found = rankedOf(name);
  const causes = found?.causes ?? row.causes.map((code) => ({ code, in_record: false }));
  const stop = async () => {
    const { machine, operator } = chosen.value;
    await put("event", { trigger: "symptom", machine, operator, answer: "happened", reason: null });
    go("run");
  };
  const canStop = may("event") && chosen.value.machine && chosen.value.operator;
  return html`<${Page} tab="probe" title=${say(`symptom.${name}`)} onback=${() => go("map", "symptom")}>
    <section class="do"><h2>${say("symptom.do")}</h2><p>${say(`symptom_do.${name}`)}</p></section>
    <h2>${say("symptom.causes")}</h2>
    <ol class="causes">${causes.map(({ code, in_record: isLikely }) => html`<li key=${code}>
      ${isLikely ? html`<strong>${say(`cause.${code}`)}</strong> <span class="spoken"><${Shape} name="note" />${say("symptom.in_record")}</span>` : say(`cause.${code}`)}
    </li>`)}</ol>
    ${found?.clues.length > 0 && html`<h2>${say("symptom.clues")}</h2><ul class="told" role="list">${found.clues.map((says) => html`<li key=${says}>${says}</li>`)}</ul>`}
    ${!found && html`<p class="whose">${say("symptom.no_record")}</p>`}
    <p class="whose">${say("symptom.basis", { basis: say(`symptom_basis.${row.basis}`) })}</p>
    ${canStop && html`<${Plain} label=${say("symptom.stop")} note=${say("symptom.stop.note")} onpress=${stop} />`}
  <//>`;
}
