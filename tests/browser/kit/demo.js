// Every part of the kit on one screen, for trying. ?lang=es&units=metric&sun
// Each answer is put into `window.kept`, where tests look.

import * as kit from "../kit/kit.js";
import { stripIcon } from "../marks.js";

const { html, render, useState } = kit;
const asked = new URLSearchParams(location.search);
const lang = asked.get("lang") ?? "en";
const units = asked.get("units") ?? "us";
const sentences = await (await fetch(`../kit/words.${lang}.json`)).json();
const say = Object.assign(
  (key, values = {}) => sentences[key].replace(/\{(\w+)\}/g, (_, name) => values[name]),
  { decimal: lang === "es" ? "," : "." },
);
document.documentElement.lang = lang;
kit.sunMode(asked.has("sun"));
window.kept = JSON.parse(sessionStorage.getItem("kept") ?? "{}");

function Demo() {
  const [kept, setKept] = useState({ started: null, undo: null, ...window.kept });
  const keep = (name) => (value) =>
    setKept((before) => {
      window.kept = { ...before, [name]: value };
      sessionStorage.setItem("kept", JSON.stringify(window.kept));
      return window.kept;
    });
  const presses = kept.presses ?? 0;
  const banners = [
    ["note", "Dew point 61 °F", "sheet 66 °F"],
    ["test", "Test again", "sheet 21 °F colder since weld 4"],
    ["stop", "Stop: 208 V under load", "below 210 V the nozzle falls behind"],
    ["done", "Seam A-S017 is closed", ""],
  ];
  const pulls = [["cold", "cold"], ["partial", "partial"], ["full", "full"], ["invalid", "not valid"]];
  return html`<${kit.Screen}
    title="Trial of every part"
    onback=${() => keep("back")(true)}
    aside=${html`<${kit.Count} count=${presses} label=${`${presses} not sent`} />`}
    banner=${banners.map(([kind, text, reason]) => html`<${kit.Banner} ...${{ kind, text, reason }}
      action=${kind === "test" && { label: "Weld a test", onpress: () => keep("answered")(kind) }} />`)}
    foot=${html`<${kit.UndoBar} text=${kept.undo} onundo=${() => keep("undo")(null)} onclose=${() => keep("undo")(null)} />`}
    action=${{
      label: "Keep weld 5",
      note: kept.air ? null : "air is not known",
      waits: kept.air ? null : "Say the air temperature first.",
      onpress: () => { keep("presses")(presses + 1); keep("undo")("Weld 5 kept"); },
    }}
  >
    <${kit.Measure} id="air" label="Air temperature" measure="air" steps=${{ f: 10, c: 5 }}
      usual=${{ value: "850", unit: "f" }} quantity=${kept.air} onchange=${keep("air")} />
    <${kit.Measure} id="speed" label="Speed" hint="Timed over 10 feet." measure="speed"
      steps=${{ ft_min: 0.5, m_min: 0.1 }} usual=${{ value: "10", unit: "ft_min" }}
      quantity=${kept.speed} onchange=${keep("speed")} />
    <${kit.Measure} id="sheet" label="Sheet" measure="sheet" signed steps=${{ f: 1, c: 1 }}
      usual=${{ value: "85", unit: "f" }} quantity=${kept.sheet} onchange=${keep("sheet")} />
    <${kit.StationField} id="from" label="From station" most=${{ value: "431", unit: "ft" }}
      quantity=${kept.from} onchange=${keep("from")} />
    <${kit.Choice} id="pull" legend="Strip 1" hint="Where did it come apart?" value=${kept.pull}
      onpick=${keep("pull")}
      options=${pulls.map(([key, label]) => ({ key, label, mark: html`<${kit.Placed} element=${stripIcon(key)} />` }))} />
    <${kit.Choice} id="membrane" legend="Membrane" value=${kept.membrane} onpick=${keep("membrane")}
      options=${[{ key: "tpo60", label: "TPO 60 mil", note: "white, lot on the core" }, { key: "pvc50", label: "PVC 50 mil", note: "gray" }]} />
    <${kit.YesNo} id="smoke" legend="Smoke during the weld?" value=${kept.smoke} onpick=${keep("smoke")} />
    <${kit.Timer} label="Cooling" ready="Cool: pull the strips" start="Weld done, start cooling"
      started=${kept.started} lasts=${600} onstart=${keep("started")} />
    <${kit.PhotoField} id="photo" label="Photo of strip 1" photo=${kept.photo instanceof Blob ? kept.photo : null} onphoto=${keep("photo")} />
    <${kit.BigButton} label="Open the reasons" shape="note" onpress=${() => keep("drawer")(true)} />
    <${kit.BigButton} kind="stop" shape="stop" label="I do not trust it" note="stops the chain, asks for a test" onpress=${() => keep("distrust")(true)} />
    <h2>Seams</h2>
    <${kit.Rows} label="Seams">
      <${kit.ListRow} title="A-S017" note="0 to 431 ft, probed" mark=${html`<${kit.Shape} name="done" />`} onpress=${() => keep("row")("A-S017")} />
      <${kit.ListRow} title="A-E017-2" note="Traslape de extremo sin respaldo desde el mediodía" aside=${html`<${kit.Count} count=${2} label="2 open" />`} onpress=${() => keep("row")("A-E017-2")} />
      <${kit.ListRow} title="A-D045" note="drain, no feet yet" />
    <//>
    <${kit.Drawer} open=${kept.drawer} title="Why" onclose=${() => keep("drawer")(false)}>
      <p>The sheet is 21 °F colder than at weld 4; the bottom moved up by about 15 °F.</p>
      <${kit.BigButton} label="Weld a test" onpress=${() => keep("drawer")(false)} />
    <//>
  <//>`;
}

render(html`<${kit.Reader} ...${{ say, units }}><${Demo} /><//>`, document.body);
