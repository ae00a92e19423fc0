// One defect to its end: repaired, looked at again by another person, closed. And what is cut out
// of a seam or made at a T-joint.

import { Choice, ListRow, Measure, Rows, StationField, YesNo, html, useReader, useState } from "../../kit/kit.js";
import { chosen, put, record } from "../app.js";
import { personName } from "../names.js";
import { Caution, Page, Plain, TextField, flagOf, go, may, measureOf, timeOf, wordsOf } from "../parts.js";
import { written } from "../quantity.js";
import { defectsOf, nextNumber } from "../seams.js";
import { PULLS } from "../strips.js";

const people = (task) => record.value.all("person").filter(({ body }) => body.tasks.some((one) => one.startsWith(task)));
const tiles = (found) => found.map(({ id, body }) => ({ key: id, label: body.name }));
const back = () => go("probe");

export function Mend({ id }) {
  const reader = useReader();
  const { say } = reader;
  const found = defectsOf(record.value).find(({ defect }) => defect.id === id);
  if (!found) return html`<${Page} tab="probe" title=${say("probe.title")} onback=${back}><p>${say("gone")}</p><//>`;
  const { defect, repair, state } = found;
  const head = say("defect.line", { number: defect.body.number, seam: defect.body.seam, station: written(defect.body.station, "length", reader) });
  return state === "repaired"
    ? html`<${LookAgain} key="again" head=${head} repair=${repair} />`
    : html`<${Repair} key="repair" head=${head} defect=${defect} />`;
}

function Repair({ head, defect }) {
  const { say } = useReader();
  const [method, setMethod] = useState("patch");
  const [size, setSize] = useState(null);
  const [operator, setOperator] = useState(people("weld").some(({ id }) => id === chosen.value.person) ? chosen.value.person : null);
  const [machine, setMachine] = useState(null);
  const guns = record.value.all("machine");
  const keep = async () => {
    await put("repair", { defect: defect.id, method, size: measureOf(size, "estimated"), machine, operator, test_weld: ownTest(operator, machine) }, { by: operator });
    back();
  };
  const waits = operator ? null : say("repair.operator_first");
  return html`<${Page} tab="probe" title=${say("repair.title")} onback=${back} action=${{ label: say("repair.keep"), waits, onpress: keep }}>
    <p class="on-sheet">${head}: ${say(`word.defect.${defect.body.type}`)}</p>
    <${Caution} code="nozzle" kind="stop" />
    <${Choice} id="method" legend=${say("field.method")} options=${wordsOf(say, "method", ["re_weld", "patch", "cover_strip"])} value=${method} onpick=${setMethod} />
    <${Measure} id="size" label=${say("field.size")} measure="width" steps=${{ in: 1, mm: 25 }} usual=${{ value: "6", unit: "in" }} quantity=${size} onchange=${setSize} />
    <${Choice} id="repair-operator" legend=${say("repair.who")} options=${tiles(people("weld"))} value=${operator} onpick=${setOperator} />
    ${guns.length > 0 && html`<${Choice} id="repair-machine" legend=${say("repair.with")} options=${guns.map((gun) => ({ key: gun.id, label: gun.body.number, note: say(`word.type.${gun.body.type}`) }))} value=${machine} onpick=${setMachine} />`}
  <//>`;
}

// The hand welder's own test weld with that gun, if there is one.
const ownTest = (operator, machine) =>
  (machine && record.value.latest("test_weld", { operator, machine })?.id) ?? null;

function LookAgain({ head, repair }) {
  const { say } = useReader();
  const others = people("probe").filter(({ id }) => id !== repair.body.operator);
  const [prober, setProber] = useState(others.some(({ id }) => id === chosen.value.person) ? chosen.value.person : null);
  const keep = (result) => async () => {
    await put("reprobe", { repair: repair.id, prober, result }, { by: prober });
    back();
  };
  const waits = prober ? null : say("reprobe.prober_first");
  return html`<${Page} tab="probe" title=${say("reprobe.title")} onback=${back} action=${{ label: say("reprobe.closed"), waits, onpress: keep("closed") }}>
    <p class="on-sheet">${head}</p>
    <p>${say("reprobe.repaired", { method: say(`word.method.${repair.body.method}`), by: personName(record.value.get(repair.body.operator)), time: timeOf(repair.at) })}</p>
    <${Choice} id="prober" legend=${say("field.prober")} hint=${say("reprobe.other")} options=${tiles(others)} value=${prober} onpick=${setProber} />
    <${Plain} label=${say("reprobe.open")} waits=${waits} onpress=${keep("open")} />
  <//>`;
}

// A piece cut out of a seam, and its strips.
export function Cut() {
  const reader = useReader();
  const { say } = reader;
  const [seam, setSeam] = useState(record.value.all("run").at(-1)?.body.seam ?? "");
  const [station, setStation] = useState(null);
  const [why, setWhy] = useState("cause");
  const number = nextNumber(record.value.all("cut"));
  const cuts = record.value.all("cut");
  const keep = async () => {
    await put("cut", { number, seam: seam.trim(), station: measureOf(station, "estimated"), why });
    setStation(null);
  };
  const waits = !seam.trim() ? say("run.seam_first") : station ? null : say("run.station_first");
  return html`<${Page} tab="probe" title=${say("cut.number", { number })} onback=${back} action=${{ label: say("cut.keep"), waits, onpress: keep }}>
    <${TextField} id="seam" label=${say("field.seam")} value=${seam} oninput=${setSeam} />
    <${StationField} id="station" label=${say("field.station")} quantity=${station} onchange=${setStation} />
    <${Choice} id="why" legend=${say("field.why")} options=${wordsOf(say, "why", ["planned", "cause", "trace"])} value=${why} onpick=${setWhy} />
    <${Caution} code="cut" kind="note" />
    <${Rows} label=${say("cut.made")}>${cuts.map((cut) => html`<${ListRow}
      key=${cut.id}
      title=${say("cut.line", { number: cut.body.number, seam: cut.body.seam, station: written(cut.body.station, "length", reader) })}
      note=${record.value.all("strip").filter(({ body }) => body.of === cut.id).map(({ body }) => say(`word.pull.${body.pull}`)).join(", ") || say("cut.no_strips")}
      onpress=${() => go("probe", "cut", cut.id)}
    />`)}<//>
  <//>`;
}

export function CutStrips({ id }) {
  const { say } = useReader();
  const cut = record.value.get(id);
  const strips = record.value.all("strip").filter(({ body }) => body.of === id);
  if (!cut) return html`<${Page} tab="probe" title=${say("probe.title")} onback=${back}><p>${say("gone")}</p><//>`;
  const grade = (pull) => put("strip", { of: id, number: nextNumber(strips), pull });
  return html`<${Page} tab="probe" title=${say("cut.number", { number: cut.body.number })} onback=${() => go("probe", "cut")} action=${{ label: say("cut.done"), onpress: () => go("probe", "cut") }}>
    <${Choice} key=${strips.length} id="cut-pull" legend=${say("strips.next", { number: nextNumber(strips) })} options=${wordsOf(say, "pull", PULLS)} value=${null} onpick=${grade} />
    <${Rows} label=${say("strips.graded")}>${strips.map((strip) => html`<${ListRow} key=${strip.id} title=${`${strip.body.number}: ${say(`word.pull.${strip.body.pull}`)}`} />`)}<//>
  <//>`;
}

// Where three sheets meet.
export function TJoint() {
  const { say } = useReader();
  const [number, setNumber] = useState("");
  const [answers, setAnswers] = useState({});
  const set = (name) => (key) => setAnswers({ ...answers, [name]: key });
  const joints = record.value.all("t_joint");
  const keep = async () => {
    const result = { yes: "defects", no: "none" }[answers.void] ?? null;
    await put("t_joint", { number: number.trim(), creased: flagOf(answers.creased), patched: flagOf(answers.patched), result });
    setNumber("");
    setAnswers({});
  };
  const waits = number.trim() ? null : say("t_joint.number_first");
  return html`<${Page} tab="probe" title=${say("t_joint.title")} onback=${back} action=${may("t_joint") ? { label: say("t_joint.keep"), waits, onpress: keep } : undefined}>
    <${TextField} id="t-joint" label=${say("field.t_joint")} hint=${say("t_joint.hint")} value=${number} oninput=${setNumber} />
    <${YesNo} id="creased" legend=${say("field.creased")} value=${answers.creased ?? null} onpick=${set("creased")} />
    <${YesNo} id="patched" legend=${say("field.patched")} value=${answers.patched ?? null} onpick=${set("patched")} />
    <${YesNo} id="void" legend=${say("t_joint.void")} value=${answers.void ?? null} onpick=${set("void")} />
    <${Rows} label=${say("t_joint.made")}>${joints.map(({ id, body }) => html`<${ListRow} key=${id} title=${body.number} note=${say(`t_joint.${body.result ?? "unprobed"}`)} />`)}<//>
  <//>`;
}
