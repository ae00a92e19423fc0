// A practice morning on a hidden site: weld, look while it is hot, let it cool, pull, decide. The
// server keeps nothing of it; what was welded so far goes with every question.

import { ListRow, Measure, Rows, html, signal, useEffect, useReader, useState } from "../../kit/kit.js";
import { prefs } from "../app.js";
import { Caution, Plain, go } from "../parts.js";
import { unitFor } from "../quantity.js";
import { post } from "../server.js";
import { Lines, Picture, PracticePage, newSeed, wrongOf } from "./learn.js";

const HOME = ["today", "learn"];
const AT = [...HOME, "morning"];
const morning = signal(null); // {seed, welds: [{air, speed, looked}], air, speed, decide, told, lang, units}

const begin = (seed = newSeed()) => { morning.value = { seed, welds: [], air: null, speed: null, decide: null, told: null }; };
const number = ({ value }) => Number(value);
const said = ({ air, speed }) => ({ [`air_${air.unit}`]: number(air), [`speed_${speed.unit}`]: number(speed) });

// Ask with some of the morning changed; the change holds only when the answer came.
async function tell(changes = {}) {
  const { seed, welds, decide, ...rest } = { ...morning.value, ...changes };
  const { lang, units } = prefs.value;
  const found = await post("api/practice", {
    seed,
    welds: welds.map(({ looked, ...setting }) => ({ ...said(setting), looked })),
    decide: decide && decide !== "not_known" ? said(decide) : decide,
    lang,
    units,
  });
  if (found.answer && morning.value?.seed === seed) morning.value = { ...rest, seed, welds, decide, told: found.answer, lang, units };
  return found;
}

// The morning as told in the reader's language and units; `wrong` says why it is not there.
function useTold(say) {
  const [wrong, setWrong] = useState(null);
  const { lang, units } = prefs.value;
  useEffect(() => {
    if (!morning.value) begin();
    const { told, lang: spoken, units: measured } = morning.value;
    if (!told || spoken !== lang || measured !== units) tell().then((found) => setWrong(wrongOf(found, say)));
  }, [lang, units]);
  return [wrong, setWrong];
}

const usual = (told, units) => ({
  air: { value: unitFor("temperature", units) === "f" ? "700" : "370", unit: unitFor("temperature", units) },
  speed: { value: String(told[`start_speed_${unitFor("speed", units)}`]), unit: unitFor("speed", units) },
});

function Setting({ told }) {
  const { say, units } = useReader();
  const { air, speed } = morning.value;
  const from = usual(told, units);
  const set = (changes) => { morning.value = { ...morning.value, ...changes }; };
  return html`
    <${Measure} id="air" label=${say("field.air")} measure="air" steps=${{ f: 10, c: 5 }} usual=${from.air} quantity=${air} onchange=${(value) => set({ air: value })} />
    <${Measure} id="speed" label=${say("field.speed")} measure="speed" steps=${{ ft_min: 0.5, m_min: 0.1 }} usual=${from.speed} quantity=${speed} onchange=${(value) => set({ speed: value })} />`;
}

const isSet = () => Boolean(morning.value.air && morning.value.speed);
const pressed = () => ({ air: morning.value.air, speed: morning.value.speed });

function Drawn({ drawn }) {
  const { say } = useReader();
  return html`
    ${drawn.looks.length > 0 && html`<h3>${say("learn.hot")}</h3>${drawn.looks.map((look, place) => html`<${Picture} key=${place} strip=${look} />`)}`}
    <h3>${say("learn.cold")}</h3>
    ${drawn.strips.map((strip, place) => html`<${Picture} key=${place} strip=${strip} /><p>${strip.hand}</p>`)}`;
}

export function Morning() {
  const { say } = useReader();
  const [wrong] = useTold(say);
  const told = morning.value?.told;
  if (!told) return html`<${PracticePage} title=${say("learn.morning")} back=${HOME} wrong=${wrong}>${!wrong && html`<p role="status">${say("learn.asking")}</p>`}<//>`;
  if (told.end) return html`<${End} />`;
  const isOver = told.welds_left === 0;
  const decide = { label: say("learn.decide"), onpress: () => go(...AT, "decide") };
  const weld = { label: say("learn.weld"), waits: isSet() ? null : say("test.setting_first"), onpress: () => go(...AT, "look") };
  return html`<${PracticePage} title=${say("learn.morning")} back=${HOME} action=${isOver ? decide : weld} wrong=${wrong}>
    <p>${told.says.at(-1)}</p>
    <p class=${told.weather.has_turned ? "heed test" : undefined} role="status"><span>${told.weather.says}</span></p>
    ${told.welds.length > 0 && html`<h2>${say("learn.welds")}</h2>
      <${Rows} label=${say("learn.welds")}>${told.welds.map((each) => html`<${ListRow} key=${each.number} title=${each.says} />`)}<//>
      <h2>${say("learn.last", { number: told.welds.length })}</h2>
      <${Drawn} drawn=${told.drawn} />`}
    ${!isOver && html`<h2>${say("learn.next", { number: told.welds.length + 1 })}</h2><${Setting} told=${told} /><${Plain} ...${decide} />`}
  <//>`;
}

// The one moment to look; once it is cold it is gone.
export function Look() {
  const { say } = useReader();
  const [wrong, setWrong] = useState(null);
  const [isBusy, setBusy] = useState(false);
  const isReady = morning.value?.told && isSet();
  useEffect(() => { if (!isReady) go(...AT); }, []);
  if (!isReady) return null;
  const weld = async (looked) => {
    if (isBusy) return;
    setBusy(true);
    const found = await tell({ welds: [...morning.value.welds, { ...pressed(), looked }] });
    setBusy(false);
    setWrong(wrongOf(found, say));
    if (found.answer) go(...AT);
  };
  return html`<${PracticePage} title=${say("learn.is_hot")} back=${AT} wrong=${wrong}>
    <${Caution} code="hot" />
    <div class="kit-buttons">
      <${Plain} label=${say("learn.look_now")} note=${say("learn.look_now.note")} onpress=${() => weld(true)} />
      <${Plain} label=${say("learn.let_cool")} note=${say("learn.let_cool.note")} onpress=${() => weld(false)} />
    </div>
  <//>`;
}

export function Decide() {
  const { say } = useReader();
  const [wrong, setWrong] = useState(null);
  const told = morning.value?.told;
  useEffect(() => { if (!told) go(...AT); }, []);
  if (!told) return null;
  const end = async (decide) => {
    const found = await tell({ decide });
    setWrong(wrongOf(found, say));
    if (found.answer) go(...AT, "end");
  };
  const set = { label: say("learn.set"), waits: isSet() ? null : say("test.setting_first"), onpress: () => end(pressed()) };
  return html`<${PracticePage} title=${say("learn.decide")} back=${AT} action=${set} wrong=${wrong}>
    <${Setting} told=${told} />
    <${Plain} label=${say("learn.not_known")} note=${say("learn.not_known.note")} onpress=${() => end("not_known")} />
  <//>`;
}

export function End() {
  const { say } = useReader();
  const [wrong] = useTold(say);
  const told = morning.value?.told;
  const isOver = Boolean(told?.end);
  useEffect(() => { if (!isOver) go(...AT); }, []);
  if (!isOver) return null;
  const { truth, sound_search: search, lessons } = told.end;
  const anew = (seed) => { begin(seed); go(...AT); tell(); };
  return html`<${PracticePage} title=${say("learn.end")} back=${HOME} action=${{ label: say("learn.another"), onpress: () => anew() }} wrong=${wrong}>
    <h2>${say("learn.lessons")}</h2><${Lines} lines=${lessons} />
    <h2>${say("learn.truth")}</h2><${Lines} lines=${truth} isPlain />
    <h2>${say("learn.search")}</h2><${Lines} lines=${search} />
    <p>${say("learn.seed", { seed: told.seed })}</p>
    <${Plain} label=${say("learn.same")} onpress=${() => anew(told.seed)} />
  <//>`;
}
