// The list of test welds in view, those taken out of it, and the lists to start from.

import { h } from "./dom.js";
import { heatIcon, stripIcon } from "./marks.js";
import { heatOf } from "./rows.js";
import { quantityText, unitOf } from "./units.js";

function line(weld, { state, say, onout }) {
  const setting = ["air", "speed"].map((name) => quantityText(weld[name], unitOf(name, state.units), say)).join(", ");
  const name = say("weld.name", { name: weld.name });
  const heat = heatOf(weld);
  const verb = weld.out ? "weld.back" : "weld.out";
  return h(
    "li",
    { class: weld.out ? "weld out" : "weld" },
    h("p", {}, h("b", {}, name), ` ${setting}`, weld.out ? ` (${say("weld.is_out")})` : ""),
    h(
      "p",
      { class: "grades" },
      weld.strips.map(({ pull }) => h("span", {}, stripIcon(pull), say(`pull.${pull}`))),
      h("span", {}, heatIcon(heat), say(`legend.heat.${heat || "not_looked"}`)),
    ),
    h(
      "button",
      {
        type: "button",
        id: `weld-${weld.name}`,
        "aria-label": say(`${verb}.named`, { name: weld.name }),
        onclick: () => onout(weld.name, !weld.out),
      },
      say(verb),
    ),
  );
}

export function weldParts(part) {
  const { state, say, onexample, onempty, onearlier, onopen, onsave } = part;
  const button = (id, key, onclick) => h("button", { type: "button", id, onclick }, say(key));
  const { welds, earlier } = state;
  return [
    h("h2", {}, say("welds.title")),
    welds.length ? h("ol", { class: "welds" }, welds.map((weld) => line(weld, part))) : h("p", {}, say("welds.none")),
    h(
      "div",
      { class: "buttons" },
      button("example", "start.example", onexample),
      welds.length ? button("empty", "start.empty", onempty) : null,
      h(
        "label",
        { class: "button" },
        say("open_file"),
        h("input", {
          type: "file",
          id: "open",
          accept: ".csv,.json,text/csv,application/json",
          onchange: ({ target }) => target.files.length && onopen(target.files[0]),
        }),
      ),
      earlier ? button("earlier", "start.earlier", onearlier) : null,
      welds.length ? button("save", "save_csv", onsave) : null,
    ),
    h("p", { class: "hint" }, say("scratch")),
  ];
}
