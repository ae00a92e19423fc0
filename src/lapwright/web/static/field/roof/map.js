// The seam map as a screen: how it stands, the seam that is picked, the legend, and every seam in a
// list for whoever cannot see or tap the map.

import { Banner, Choice, ListRow, Rows, html, signal, useReader } from "../../kit/kit.js";
import { line } from "../app.js";
import { stamp } from "../ids.js";
import { Page, Plain, go, may, timeOf } from "../parts.js";
import { lengthText } from "../quantity.js";
import { drawing, kept, roof, useRoof } from "./kept.js";
import { Legend, sumsText } from "./legend.js";
import { Sample } from "./lines.js";
import { SeamMap } from "./seammap.js";
import { GRAVEST_FIRST, TROUBLES, metres, worstOf } from "./states.js";
import { Tape } from "./tape.js";
import { dayText } from "./told.js";

const FEW = 12; // seams of a list that nobody has to scroll far

const picked = signal(null); // stays while one goes to the story and back
const shown = signal("trouble");
const isLong = signal(false);

const byName = ([one], [other]) => one.localeCompare(other, "en", { numeric: true });
const byGravity = ([, one], [, other]) => GRAVEST_FIRST.indexOf(worstOf(one)) - GRAVEST_FIRST.indexOf(worstOf(other));

// When the server looked last; without a signal that is how it still stands here.
export function AsOf() {
  const reader = useReader();
  const { at, isAsking } = kept.value;
  const { isOnline } = line.value;
  if (!at) return html`<p class="whose">${reader.say(isAsking ? "map.asking" : "map.never")}</p>`;
  const when = stamp(at);
  const time = when.slice(0, 10) === stamp(Date.now()).slice(0, 10) ? timeOf(when) : `${dayText(when, reader)}, ${timeOf(when)}`;
  return html`<p class="whose" role="status">${reader.say(isOnline ? "map.as_of" : "map.as_of.kept", { time })}</p>`;
}

function Picked({ seam, pieces }) {
  const reader = useReader();
  const { say } = reader;
  const names = [...roof.value].filter(([, each]) => each.length).sort(byName).map(([name]) => name);
  const place = names.indexOf(seam);
  const step = (by) => { picked.value = names[(place + by + names.length) % names.length]; };
  return html`<section class="picked-seam" aria-live="polite">
    <div class="seam-steps">
      <button type="button" class="kit-square" aria-label=${say("map.before")} onClick=${() => step(-1)}>‹</button>
      <h2>${seam}</h2>
      <button type="button" class="kit-square" aria-label=${say("map.after")} onClick=${() => step(1)}>›</button>
    </div>
    <${Tape} key=${seam} pieces=${pieces} />
    <p>${sumsText(pieces, reader)}</p>
  </section>`;
}

function Seams() {
  const reader = useReader();
  const { say } = reader;
  const all = [...roof.value].filter(([, pieces]) => pieces.length);
  const wanted = shown.value === "all" ? all.sort(byName) : all.filter(([, pieces]) => pieces.some(({ state }) => TROUBLES.includes(state))).sort(byName).sort(byGravity);
  const list = isLong.value ? wanted : wanted.slice(0, FEW);
  const options = ["trouble", "all"].map((key) => ({ key, label: say(`map.show.${key}`) }));
  return html`<h2>${say("map.seams")}</h2>
    <${Choice} id="map-show" legend=${say("map.show")} options=${options} value=${shown.value} onpick=${(key) => { shown.value = key; isLong.value = false; }} />
    ${!wanted.length && html`<p>${say("map.no_trouble")}</p>`}
    <${Rows} label=${say("map.seams")}>${list.map(([name, pieces]) => html`<${ListRow}
      key=${name}
      mark=${html`<${Sample} state=${worstOf(pieces)} />`}
      title=${name}
      note=${sumsText(pieces, reader)}
      onpress=${() => { picked.value = name; go("map", "story", name); }}
    />`)}<//>
    ${wanted.length > list.length && html`<${Plain} label=${say("map.more", { count: wanted.length - list.length })} onpress=${() => { isLong.value = true; }} />`}`;
}

export function RoofMap() {
  const reader = useReader();
  const { say } = reader;
  useRoof();
  const pieces = roof.value.get(picked.value);
  const everything = [...roof.value.values()].flat();
  const action = pieces && { label: say("map.story", { seam: picked.value }), onpress: () => go("map", "story", picked.value) };
  const doubts = (kept.value.suspects?.doubts ?? []).filter(({ closed }) => !closed);
  const length = lengthText(doubts.reduce((sum, doubt) => sum + metres(doubt, "length"), 0), reader);
  return html`<${Page}
    tab="probe"
    title=${say("map.title")}
    onback=${() => go("probe")}
    banner=${doubts.length > 0 && html`<${Banner} kind="stop" text=${say("map.doubts", { length })} action=${{ label: say("map.doubts.look"), onpress: () => go("map", "suspect") }} />`}
    action=${action}
  >
    <${AsOf} />
    ${drawing.value
      ? html`<${SeamMap} drawing=${drawing.value} roof=${roof.value} chosen=${picked.value} title=${say("map.picture")} onpick=${(seam) => { picked.value = seam; }} />
          ${!pieces && html`<p class="map-how">${say("map.how")}</p>`}`
      : html`<p>${say("map.no_plan")}</p>${may("plan") && html`<${Plain} label=${say("draw.title")} onpress=${() => go("map", "plan")} />`}`}
    ${pieces?.length > 0 && html`<${Picked} seam=${picked.value} pieces=${pieces} />`}
    ${everything.length > 0 && html`<h2>${say("map.legend")}</h2><${Legend} pieces=${everything} /><${Seams} />`}
    <div class="kit-buttons">
      <${Plain} label=${say("symptom.title")} onpress=${() => go("map", "symptom")} />
      <${Plain} label=${say("punch.title")} onpress=${() => go("map", "punch")} />
      ${drawing.value && may("plan") && html`<${Plain} label=${say("draw.title")} onpress=${() => go("map", "plan")} />`}
    </div>
  <//>`;
}
