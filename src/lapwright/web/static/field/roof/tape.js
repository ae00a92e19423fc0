// One seam as a tape from its station 0 to its end, with what each foot is.

import { html, useEffect, useReader, useRef, useState } from "../../kit/kit.js";
import { alongSeam, fromSi } from "../quantity.js";
import { convert } from "../../units.js";
import { Mark, Strokes, hasMark } from "./lines.js";
import { spansOf } from "./states.js";

const [HIGH, MIDDLE, EDGE] = [52, 18, 10]; // px
const FEWEST = 56; // px between two figures
const STEPS = { us: [1, 2, 5, 10, 20, 25, 50, 100, 200, 500], metric: [0.5, 1, 2, 5, 10, 20, 50, 100, 200] };

function ticks(from, to, px, units) {
  const unit = units === "metric" ? "m" : "ft";
  const [first, last] = [fromSi(from, unit), fromSi(to, unit)];
  const step = STEPS[units].find((each) => each * (px / (last - first)) >= FEWEST) ?? last - first;
  const found = [];
  for (let n = Math.ceil(first / step - 1e-6); n * step <= last + 1e-6; n += 1)
    found.push({ text: n * step, at: convert(n * step, unit, null) });
  return found;
}

export function Tape({ pieces }) {
  const { units, say } = useReader();
  const place = useRef();
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const watch = new ResizeObserver(([entry]) => setWidth(Math.floor(entry.contentRect.width)));
    watch.observe(place.current);
    return () => watch.disconnect();
  }, []);
  if (!pieces.length) return html`<div class="seam-tape" ref=${place}></div>`;
  const [from, to] = [pieces[0].from, pieces.at(-1).to];
  const room = width - 2 * EDGE;
  const x = (station) => EDGE + ((station - from) / (to - from)) * room;
  const spans = spansOf(pieces);
  return html`<div class="seam-tape" ref=${place}>${width > 0 && html`<svg width=${width} height=${HIGH} aria-hidden="true">
    ${spans.map((span) => html`<${Strokes} state=${span.state} path=${`M${x(span.from)} ${MIDDLE}H${x(span.to)}`} width=${14} />`)}
    ${spans.filter(({ state }) => hasMark(state)).map((span) => html`<${Mark} state=${span.state} x=${x((span.from + span.to) / 2)} y=${MIDDLE} />`)}
    ${ticks(from, to, room, units).map(({ text, at }) => html`<path class="tick" d=${`M${x(at)} ${MIDDLE + 10}v6`} /><text x=${x(at)} y=${HIGH - 4}>${String(text).replace(".", say.decimal)}</text>`)}
  </svg>`}</div>`;
}

// "0 to 217 ft", with one unit.
export function spanText({ from, to }, reader) {
  const text = (metres) => alongSeam(metres, reader.units).replace(".", reader.say.decimal);
  return `${reader.say("span", { from: text(from), to: text(to) })} ${reader.units === "metric" ? "m" : "ft"}`;
}
