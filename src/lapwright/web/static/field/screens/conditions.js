// The hour's conditions: readings are taken anew, words stand as they were until changed.

import { Choice, Measure, YesNo, html, useReader, useState } from "../../kit/kit.js";
import { day, put, record } from "../app.js";
import { Caution, Page, flagOf, go, measureOf, quantityOf, wordsOf } from "../parts.js";

const WORDS = {
  sun: ["sun", "cloud", "shade"],
  wind: ["calm", "light", "breezy", "strong"],
  substrate: ["foam", "board", "concrete", "old_roof"],
};

// `after`: the screen to go back to.
export function Conditions({ after = ["start"] }) {
  const { say } = useReader();
  const last = record.value.all("conditions").at(-1)?.body;
  const [ambient, setAmbient] = useState(null);
  const [sheet, setSheet] = useState(null);
  const [humidity, setHumidity] = useState(null);
  const [words, setWords] = useState(Object.fromEntries(Object.keys(WORDS).map((name) => [name, last?.[name] ?? null])));
  const [dry, setDry] = useState(null);
  const [clean, setClean] = useState(null);
  const back = () => go(...after);
  const keep = async () => {
    await put("conditions", {
      ambient: measureOf(ambient, "measured"),
      sheet: measureOf(sheet, "measured"),
      humidity: measureOf(humidity, "measured"),
      ...words,
      dry: flagOf(dry),
      clean: flagOf(clean),
    });
    back();
  };
  const waits = !ambient ? say("conditions.ambient_first") : !dry || !clean ? say("conditions.feel_first") : null;
  const usual = (name, otherwise) => quantityOf(last?.[name]) ?? otherwise;
  const degrees = { f: 1, c: 1 };
  return html`<${Page} tab="start" title=${say("start.conditions.title")} onback=${back} action=${{ label: say("conditions.keep"), waits, onpress: keep }}>
    <${Measure} id="ambient" label=${say("field.ambient")} signed measure="ambient" steps=${degrees} usual=${usual("ambient", { value: "75", unit: "f" })} quantity=${ambient} onchange=${setAmbient} />
    <${Measure} id="sheet" label=${say("field.sheet")} hint=${say("conditions.sheet.hint")} signed measure="sheet" steps=${degrees} usual=${usual("sheet", { value: "80", unit: "f" })} quantity=${sheet} onchange=${setSheet} />
    <${YesNo} id="dry" legend=${say("field.dry")} value=${dry} onpick=${setDry} />
    ${dry === "no" && html`<${Caution} code="wet" kind="stop" />`}
    <${YesNo} id="clean" legend=${say("field.clean")} value=${clean} onpick=${setClean} />
    ${clean === "no" && html`<${Caution} code="solvent" kind="stop" />`}
    ${Object.entries(WORDS).map(([name, among]) => html`<${Choice}
      key=${name}
      id=${name}
      legend=${say(`field.${name}`)}
      options=${wordsOf(say, name, among)}
      value=${words[name]}
      onpick=${(key) => setWords({ ...words, [name]: key })}
    />`)}
    <${Measure} id="humidity" label=${say("field.humidity")} measure="humidity" steps=${{ percent: 5 }} usual=${usual("humidity", { value: "50", unit: "percent" })} quantity=${humidity} onchange=${setHumidity} />
  <//>`;
}

// One word changed and nothing was measured: the readings stand as estimates, the sheet's does
// not, because sun and wind move it.
export const wordChanged = (name, value) => {
  const { ambient, humidity, dry, clean, ...rest } = day.value.conditions.body;
  const guess = (measure) => measure && { ...measure, how: "estimated" };
  return put("conditions", { ...rest, ambient: guess(ambient), humidity: guess(humidity), sheet: null, dry, clean, [name]: value });
};
