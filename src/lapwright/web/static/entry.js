// The form for one test weld: by taps, by typing, by keyboard alone.

import { choice, h } from "./dom.js";
import { stepper } from "./fields.js";
import { heatIcon, stripIcon } from "./marks.js";
import { withUnit } from "./units.js";

const SHOWN = ["cold", "partial", "full"];
const BEHIND_MORE = ["skin", "break", "split", "invalid"];
const AT_EVERY_WELD = ["air", "speed"];
const HOTTEST_NOZZLE = { us: [1148, "f"], metric: [620, "c"] };

function quantity(measure, { state, say, ontype, onstep }) {
  const wide = AT_EVERY_WELD.includes(measure);
  return stepper(measure, { quantity: state.draft[measure], wide, units: state.units, say, ontype, onstep });
}

function strip(n, { state, say, onpull }) {
  const pull = state.draft.pulls[n];
  const id = `strip-${n + 1}`;
  let open = BEHIND_MORE.includes(pull);
  const options = [...SHOWN, ...BEHIND_MORE].map((key) => ({
    key,
    label: say(`pull.${key}`),
    mark: stripIcon(key),
  }));
  const field = choice({
    id,
    legend: say("strip.number", { number: n + 1 }),
    options,
    value: pull,
    onpick: (key) => onpull(n, key),
    hidden: (key) => !open && BEHIND_MORE.includes(key),
  });
  const toggle = h(
    "button",
    {
      type: "button",
      class: "segment-more",
      "aria-expanded": String(open),
      "aria-label": say("strip.more", { number: n + 1 }),
      onclick: () => {
        open = !open;
        toggle.setAttribute("aria-expanded", String(open));
        for (const key of BEHIND_MORE) {
          const input = field.querySelector(`#${id}-${key}`);
          input.closest("label").hidden = !open && !input.checked;
        }
      },
    },
    "…",
  );
  field.querySelector(".segments").append(toggle);
  return field;
}

// Where the person has to go for the first thing that is missing.
export const placeOf = (gap) => ({ pulls: "strip-1-cold", heat: "heat-none" })[gap] ?? gap;

export function entryParts({ state, gaps, say, name, ...does }) {
  const part = { state, say, ...does };
  const hottest = withUnit(...HOTTEST_NOZZLE[state.units], say);
  const pvc = state.membrane === "pvc" ? ` ${say("safety.pvc")}` : "";
  return [
    h("h2", { id: "entry-title" }, say("entry.title", { name })),
    h("p", { class: "safety" }, say("safety.nozzle", { hottest }) + pvc),
    choice({
      id: "membrane",
      legend: say("membrane"),
      options: ["tpo", "pvc", "kee"].map((key) => ({ key, label: key.toUpperCase() })),
      value: state.membrane,
      onpick: does.onmembrane,
    }),
    h("div", { class: "quantities" }, ["air", "speed", "ambient", "sheet"].map((measure) => quantity(measure, part))),
    h("h3", {}, say("strips.title")),
    h("p", { class: "hint" }, say("strips.hint")),
    [0, 1, 2].map((n) => strip(n, part)),
    choice({
      id: "heat",
      legend: say("heat.title"),
      hint: say("heat.hint"),
      options: ["none", "signs", "not_looked"].map((key) => ({
        key,
        label: say(`heat.${key}`),
        mark: heatIcon(key === "not_looked" ? "" : key),
      })),
      value: state.draft.heat,
      onpick: does.onheat,
    }),
    h(
      "p",
      { id: "gaps", class: "gaps", role: "alert" },
      gaps.length ? say("gaps", { names: gaps.map((gap) => say(`gap.${gap}`)).join(", ") }) : "",
    ),
    h("button", { type: "submit", id: "add", class: "main" }, say("add")),
  ];
}
