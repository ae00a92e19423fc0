// Probing and repair: seams with the feet nobody has probed, and every defect to its end. A defect
// closes with a second look and nowhere else.

import { Banner, Choice, ListRow, Rows, Shape, StationField, html, useReader, useState } from "../../kit/kit.js";
import { chosen, now, put, record, tables } from "../app.js";
import { moment } from "../ids.js";
import { Page, Plain, TextField, go, may, measureOf, wordsOf } from "../parts.js";
import { alongSeam, lengthText, unitFor, written } from "../quantity.js";
import { defectsOf, lengthOf, nextNumber, seamsOf } from "../seams.js";

const STATES = { open: "stop", repaired: "test", closed: "done" };

export const spanText = ([from, to], reader) =>
  reader.say("span", { from: lengthText(from, reader), to: lengthText(to, reader) });

export function Probe() {
  const reader = useReader();
  const { say } = reader;
  const seams = seamsOf(record.value);
  const defects = defectsOf(record.value).filter(({ state }) => state !== "closed");
  const first = seams.find(({ unprobed }) => unprobed.length);
  const action = !may("probe") ? { label: say("probe.mark"), onpress: () => go("probe", "defect") }
    : first ? { label: say("probe.walk", { seam: first.name }), onpress: () => go("probe", "walk", first.name) }
    : { label: say("probe.walk_any"), onpress: () => go("probe", "walk") };
  return html`<${Page} tab="probe" title=${say("probe.title")} action=${action}>
    ${defects.length > 0 && html`<h2>${say("probe.open")}</h2>
      <${Rows} label=${say("probe.open")}>${defects.map(({ defect, state }) => html`<${ListRow}
        key=${defect.id}
        mark=${html`<${Shape} name=${STATES[state]} />`}
        title=${say("defect.line", { number: defect.body.number, seam: defect.body.seam, station: written(defect.body.station, "length", reader) })}
        note=${`${say(`word.defect.${defect.body.type}`)}. ${say(`defect.${state}`)}`}
        onpress=${() => go("probe", "mend", defect.id)}
      />`)}<//>`}
    <h2>${say("probe.seams")}</h2>
    ${!seams.length && html`<p>${say("probe.none")}</p>`}
    <${Rows} label=${say("probe.seams")}>${seams.map(({ name, welded, unprobed, orphan, open }) => html`<${ListRow}
      key=${name}
      mark=${html`<${Shape} name=${unprobed.length ? "test" : open ? "note" : "done"} />`}
      title=${name}
      note=${[
        welded.length > 0 && say("probe.welded", { length: lengthText(lengthOf(welded), reader) }),
        unprobed.length > 0 && say("probe.unprobed", { spans: unprobed.map((span) => spanText(span, reader)).join(", ") }),
        orphan.length > 0 && say("probe.orphan", { spans: orphan.map((span) => spanText(span, reader)).join(", ") }),
        open && say("probe.running"),
      ].filter(Boolean).join(" ")}
      onpress=${may("probe") ? () => go("probe", "walk", name) : undefined}
    />`)}<//>
    <div class="kit-buttons">
      <${Plain} label=${say("map.open")} onpress=${() => go("map")} />
      ${may("probe") && html`<${Plain} label=${say("probe.mark")} onpress=${() => go("probe", "defect")} />`}
      ${may("cut") && html`<${Plain} label=${say("cut.title")} onpress=${() => go("probe", "cut")} />`}
      ${may("t_joint") && html`<${Plain} label=${say("t_joint.title")} onpress=${() => go("probe", "t-joint")} />`}
    </div>
  <//>`;
}

const probers = () => record.value.all("person").filter(({ body }) => body.tasks.includes("probe"));
const proberTiles = () => probers().map(({ id, body }) => ({ key: id, label: body.name }));
const ownProber = () => (probers().some(({ id }) => id === chosen.value.person) ? chosen.value.person : null);

// Walked along a lip from one station to another.
export function Walk({ seam: named }) {
  const reader = useReader();
  const { say, units } = reader;
  const unit = unitFor("length", units);
  const seams = seamsOf(record.value);
  const found = seams.find(({ name }) => name === named);
  const [seam, setSeam] = useState(named ?? "");
  const at = (metres) => (metres === undefined ? null : { value: alongSeam(metres, units), unit });
  const [start, setStart] = useState(at(found?.unprobed[0]?.[0] ?? 0));
  const [end, setEnd] = useState(at(found?.unprobed[0]?.[1]));
  const [prober, setProber] = useState(ownProber());
  const last = record.value.all("run_end").findLast(({ body }) => record.value.get(body.run)?.body.seam === seam);
  const isWarm = last && now.value * 1000 - moment(last.at) < tables.rules.probe_cooling * 1e6;
  const welders = new Set(record.value.all("run").filter(({ body }) => body.seam === seam).map(({ body }) => body.operator));
  const keep = (result) => async () => {
    await put("probe", { seam: seam.trim(), start: measureOf(start, "estimated"), end: measureOf(end, "estimated"), prober, result }, { by: prober });
    if (result === "defects") go("probe", "defect", seam.trim());
    else go("probe");
  };
  const waits = !seam.trim() ? say("run.seam_first") : !start || !end ? say("probe.stations_first") : prober ? null : say("probe.prober_first");
  return html`<${Page}
    tab="probe"
    title=${say("probe.walk", { seam: named ?? "" })}
    onback=${() => go("probe")}
    banner=${isWarm && html`<${Banner} kind="test" text=${say("probe.warm")} reason=${say("probe.warm.why", { minutes: Math.round(tables.rules.probe_cooling / 60) })} />`}
    action=${{ label: say("probe.none_found"), waits, onpress: keep("none") }}
  >
    ${!named && html`<${TextField} id="seam" label=${say("field.seam")} value=${seam} oninput=${setSeam} />`}
    <${StationField} id="start" label=${say("probe.from")} quantity=${start} onchange=${setStart} />
    <${StationField} id="end" label=${say("probe.to")} quantity=${end} onchange=${setEnd} />
    <${Choice} id="prober" legend=${say("field.prober")} options=${proberTiles()} value=${prober} onpick=${setProber} />
    ${welders.has(prober) && html`<p class="heed test">${say("probe.own_work")}</p>`}
    <${Plain} label=${say("probe.defects_found")} waits=${waits} onpress=${keep("defects")} />
  <//>`;
}

const COMMON = ["edge_void", "skip", "cold_weld", "scorch", "fishmouth", "wrinkle"];

export function Mark({ seam: named }) {
  const { say } = useReader();
  const [seam, setSeam] = useState(named ?? record.value.all("run").at(-1)?.body.seam ?? "");
  const [number, setNumber] = useState(nextNumber(record.value.all("defect")));
  const [station, setStation] = useState(null);
  const [length, setLength] = useState(null);
  const [type, setType] = useState("edge_void");
  const [isWhole, setWhole] = useState(false);
  const [foundBy, setFoundBy] = useState(may("probe") ? "probe" : "inspector");
  const types = tables.kinds.defect.find(({ name }) => name === "type").among;
  const keep = async () => {
    await put("defect", {
      number: number.trim(), seam: seam.trim(), station: measureOf(station, "estimated"),
      length: measureOf(length, "estimated"), type, found_by: foundBy,
    });
    go("probe");
  };
  const waits = !number.trim() ? say("defect.number_first") : !seam.trim() ? say("run.seam_first") : station ? null : say("run.station_first");
  return html`<${Page} tab="probe" title=${say("probe.mark")} onback=${() => go("probe")} action=${{ label: say("defect.keep"), waits, onpress: keep }}>
    <p class="on-sheet">${say("defect.write", { number })}</p>
    <${TextField} id="seam" label=${say("field.seam")} value=${seam} oninput=${setSeam} />
    <${StationField} id="station" label=${say("field.station")} quantity=${station} onchange=${setStation} />
    <${Choice} id="defect-type" legend=${say("field.defect")} options=${wordsOf(say, "defect", isWhole ? types : COMMON)} value=${type} onpick=${setType} />
    ${!isWhole && html`<${Plain} label=${say("defect.more")} onpress=${() => setWhole(true)} />`}
    <${StationField} id="length" label=${say("field.length")} quantity=${length} onchange=${setLength} />
    <${Choice} id="found-by" legend=${say("field.found_by")} options=${wordsOf(say, "found_by", ["probe", "eye", "cut", "leak", "inspector"])} value=${foundBy} onpick=${setFoundBy} />
    <${TextField} id="number" label=${say("field.number")} value=${number} oninput=${setNumber} />
  <//>`;
}
