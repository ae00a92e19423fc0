// Who holds the phone and who welds. Switching the person is one tap, and brings that person's
// language and units.

import { Choice, html, useReader, useState } from "../../kit/kit.js";
import { chosen, choose, prefs, put, record } from "../app.js";
import { Page, Plain, Several, TextField, go, may, wordsOf } from "../parts.js";

const TASKS = ["weld_field", "weld_detail", "probe", "grade", "sign"];
const isWelder = ({ body }) => body.tasks.some((task) => task.startsWith("weld"));
const tile = ({ id, body }) => ({ key: id, label: body.name });

export function People() {
  const { say } = useReader();
  const people = record.value.all("person");
  const { person, operator } = chosen.value;
  const hold = (key) => {
    const takes = !operator && isWelder(record.value.get(key));
    choose({ person: key, ...(takes ? { operator: key } : {}) });
  };
  const add = { label: say("person.new"), onpress: () => go("start", "people", "new") };
  const on = { label: say("person.done"), onpress: () => go("start") };
  return html`<${Page} tab="start" title=${say("start.people.title")} onback=${() => go("start")} action=${person && operator ? on : people.length ? undefined : add}>
    ${people.length > 0 && html`
      <${Choice} id="person" legend=${say("person.holds")} hint=${say("person.holds.hint")} options=${people.map(tile)} value=${person} onpick=${hold} />
      <${Choice} id="operator" legend=${say("person.welds")} options=${people.filter(isWelder).map(tile)} value=${operator} onpick=${(key) => choose({ operator: key })} />
      ${may("person") && html`<${Plain} ...${add} />`}`}
    ${!people.length && html`<p>${say("person.none")}</p>`}
  <//>`;
}

export function NewPerson() {
  const { say } = useReader();
  const [name, setName] = useState("");
  const [language, setLanguage] = useState(prefs.value.lang);
  const [units, setUnits] = useState(prefs.value.units);
  const [tasks, setTasks] = useState([]);
  const keep = async () => {
    const person = await put("person", { name: name.trim(), language, units, tasks: TASKS.filter((task) => tasks.includes(task)) });
    const first = !chosen.value.person;
    const welds = !chosen.value.operator && isWelder(person);
    choose({ ...(first ? { person: person.id } : {}), ...(welds ? { operator: person.id } : {}) });
    go("start", "people");
  };
  const waits = !name.trim() ? say("person.name_first") : tasks.length ? null : say("person.tasks_first");
  return html`<${Page} tab="start" title=${say("person.new")} onback=${() => go("start", "people")} action=${{ label: say("person.keep"), waits, onpress: keep }}>
    <${TextField} id="person-name" label=${say("field.person_name")} hint=${say("person.initials")} value=${name} oninput=${setName} />
    <${Several} id="tasks" legend=${say("field.tasks")} options=${wordsOf(say, "tasks", TASKS)} values=${tasks} onpick=${setTasks} />
    <${Choice} id="language" legend=${say("field.language")} options=${wordsOf(say, "language", ["en", "es"])} value=${language} onpick=${setLanguage} />
    <${Choice} id="units" legend=${say("field.units")} options=${wordsOf(say, "units", ["us", "metric"])} value=${units} onpick=${setUnits} />
  <//>`;
}
