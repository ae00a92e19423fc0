// Start of the day: what the crew works with, each line one tap away from a change, the last
// values offered. The one main action is the first line that still needs somebody.

import { Banner, ListRow, Rows, Shape, html, useReader } from "../../kit/kit.js";
import { chosen, day, jobs, me, record } from "../app.js";
import { Caution, Page, go, may, timeOf } from "../parts.js";
import { pairingName, personName, powerName } from "../names.js";
import { written } from "../quantity.js";

function stepsOf({ say, units }) {
  const { job, person, operator, machine, power_setup: power, pairing } = chosen.value;
  const { nozzle, conditions } = day.value;
  const get = (id) => record.value.get(id);
  const checks = nozzle && ["nozzle_clean", "aligned", "screen_clean", "roller_clean"].map((name) => nozzle.body[name]);
  const step = (name, value, isBad = false) => ({ name, value, isBad });
  return [
    step("job", job && (jobs.value.find((each) => each.job === job)?.name ?? record.value.latest("job")?.body.name)),
    step("people", person && operator && say("start.people", { holds: personName(get(person)), welds: personName(get(operator)) })),
    step("machine", get(machine) && say("start.machine", { number: get(machine).body.number })),
    step("pairing", get(pairing) && pairingName(record.value, get(pairing), { say, units })),
    step("power", get(power) && powerName(get(power), { say, units })),
    step("checks", checks && say(checks.every(Boolean) ? "start.checks_good" : "start.checks_open", { time: timeOf(nozzle.at) }), checks && !checks.every(Boolean)),
    step("conditions", conditions && say("start.conditions", {
      time: timeOf(conditions.at),
      ambient: written(conditions.body.ambient, "temperature", { say, units }),
      sheet: written(conditions.body.sheet, "temperature", { say, units }),
    }), conditions?.body.dry === false),
  ];
}

export function Start() {
  const reader = useReader();
  const { say } = reader;
  const steps = stepsOf(reader);
  const missing = steps.find(({ value }) => !value);
  const action = missing
    ? { label: say(`start.do.${missing.name}`), onpress: () => go("start", missing.name) }
    : { label: say("start.to_test"), onpress: () => go("test") };
  return html`<${Page} tab="start" title=${say("start.title")} action=${action}>
    <${Caution} code="day" />
    <${Rows} label=${say("start.title")}>
      ${steps.map(({ name, value, isBad }) => html`<${ListRow}
        key=${name}
        title=${say(`start.${name}.title`)}
        note=${value || say("start.open")}
        mark=${html`<${Shape} name=${isBad ? "test" : value ? "done" : "note"} />`}
        onpress=${name === "job" || chosen.value.job ? () => go("start", name) : undefined}
      />`)}
    <//>
    ${!may("test_weld") && html`<${Banner} text=${say("role.note", { role: say(`word.role.${me.value.role}`) })} />`}
  <//>`;
}

