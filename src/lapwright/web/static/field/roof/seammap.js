// The seam map: the whole roof in the width of the phone, and nearer by buttons; a tap picks the
// nearest seam. Whoever cannot see it has the list of seams beside it.

import { Shape, html, useEffect, useLayoutEffect, useReader, useRef, useState } from "../../kit/kit.js";
import { nearestSeam, pitchOf } from "./drawing.js";
import { GRAVEST_FIRST, spansOf } from "./states.js";
import { Mark, Strokes, hasMark } from "./lines.js";

const EDGE = 20; // px around the roof
const FRAME = 8; // px; both borders of the view, as wide as in the sun
const TALLEST = 0.52; // of the screen
const FINGER = 30; // px; a tap further off picks nothing
const NEARER = 2; // one tap on "nearer"
const NEAREST_PITCH = 40; // px from row to row; nearer shows nothing more
const [THINNEST, THICKEST] = [2.4, 9]; // px of a seam
const NAMED_PITCH = 20; // px from row to row at which names find room
const [NAME_ROOM, NAMED_EVERY] = [44, 240]; // px of a seam
const APART = 20; // px between two marks

const round = (place) => place.map((each) => each.toFixed(1)).join(" ");
const ringPath = (corners, px) => `M${corners.map((corner) => round(px(corner))).join("L")}Z`;

// Paths by state, and where marks stand: the gravest first, none on top of another.
function inked(seams, roof, px) {
  const paths = new Map();
  const marks = [];
  for (const { id, at } of seams)
    for (const { from, to, state } of spansOf(roof.get(id) ?? [])) {
      paths.set(state, `${paths.get(state) ?? ""}M${round(px(at(from)))}L${round(px(at(to)))}`);
      if (hasMark(state)) marks.push({ state, place: px(at((from + to) / 2)) });
    }
  const rank = ({ state }) => GRAVEST_FIRST.indexOf(state);
  const placed = [];
  for (const mark of marks.sort((one, other) => rank(one) - rank(other)))
    if (placed.every(({ place }) => Math.hypot(place[0] - mark.place[0], place[1] - mark.place[1]) > APART)) placed.push(mark);
  return { paths, marks: placed };
}

const pathOf = ({ spans, at }, px) => spans.map(([from, to]) => `M${round(px(at(from)))}L${round(px(at(to)))}`).join("");

// Names lie along their seam, never upside down, every so often and off the middle, where marks are.
function Names({ seam, px }) {
  const [from, to] = [seam.spans[0][0], seam.spans.at(-1)[1]];
  const [[ax, ay], [bx, by]] = [px(seam.at(from)), px(seam.at(to))];
  const length = Math.hypot(bx - ax, by - ay);
  if (length < (seam.kind === "end" ? 2 : 1) * NAME_ROOM) return null;
  const turn = (Math.atan2(by - ay, bx - ax) * 180) / Math.PI;
  const upright = turn > 90 ? turn - 180 : turn <= -90 ? turn + 180 : turn;
  const count = Math.max(1, Math.floor(length / NAMED_EVERY));
  return Array.from({ length: count }, (_, n) => {
    const along = n / count + NAME_ROOM / 2 / length;
    const [x, y] = [ax + along * (bx - ax), ay + along * (by - ay)].map((each) => each.toFixed(1));
    return html`<text x=${x} y=${y} transform=${`rotate(${upright.toFixed(1)} ${x} ${y})`}>${seam.id.replace(/^[^-]*-/, "")}</text>`;
  });
}

function Chosen({ seam, px, width }) {
  const path = pathOf(seam, px);
  const [x, y] = px(seam.at(seam.spans[0][0]));
  return html`<path d=${path} class="chosen" stroke-width=${width + 10} />
    <path d=${path} class="chosen within" stroke-width=${width + 5} />
    <circle class="origin" cx=${x} cy=${y} r="5" />`;
}

function Drawn({ drawing, roof, chosen, scale }) {
  const px = ([x, y]) => [EDGE + x * scale, EDGE + y * scale];
  const pitch = pitchOf(drawing) * scale;
  const width = Math.min(THICKEST, Math.max(THINNEST, pitch * 0.5));
  const { paths, marks } = inked(drawing.seams, roof, px);
  const picked = drawing.seams.find(({ id }) => id === chosen);
  const isNamed = pitch >= NAMED_PITCH;
  return html`<svg
    aria-hidden="true"
    width=${2 * EDGE + drawing.width * scale}
    height=${2 * EDGE + drawing.height * scale}
  >
    ${drawing.areas.map(({ outline }) => html`<path class="roof-edge" d=${ringPath(outline, px)} />`)}
    ${drawing.areas.flatMap(({ openings }) => openings.map(({ kind, corners }) => html`<path class=${`opening ${kind}`} d=${ringPath(corners, px)} />`))}
    ${picked && html`<${Chosen} seam=${picked} px=${px} width=${width} />`}
    ${[...GRAVEST_FIRST].reverse().filter((state) => paths.has(state)).map((state) => html`<${Strokes} key=${state} state=${state} path=${paths.get(state)} width=${width} />`)}
    ${isNamed && drawing.seams.map((seam) => html`<${Names} key=${seam.id} seam=${seam} px=${px} />`)}
    ${marks.map(({ state, place: [x, y] }) => html`<${Mark} state=${state} x=${x} y=${y} />`)}
    ${drawing.areas.map(({ name, outline }) => {
      const [x, y] = px(outline.reduce((best, each) => (each[0] + each[1] < best[0] + best[1] ? each : best)));
      return html`<text class="area" x=${x + 4} y=${y - 5}>${name}</text>`;
    })}
  </svg>`;
}

// Where the middle of the view lies on the roof stays there when it comes nearer.
function useView(drawing, scale, height) {
  const view = useRef();
  // The view keeps the height of the whole roof while it comes nearer.
  useLayoutEffect(() => { view.current.style.height = `${height + FRAME}px`; }, [height]);
  const middle = useRef([drawing.width / 2, drawing.height / 2]);
  useLayoutEffect(() => {
    const { current } = view;
    current.scrollLeft = EDGE + middle.current[0] * scale - current.clientWidth / 2;
    current.scrollTop = EDGE + middle.current[1] * scale - current.clientHeight / 2;
  }, [scale]);
  const note = () => {
    const { scrollLeft, scrollTop, clientWidth, clientHeight } = view.current;
    middle.current = [(scrollLeft + clientWidth / 2 - EDGE) / scale, (scrollTop + clientHeight / 2 - EDGE) / scale];
  };
  return { view, middle, note };
}

const WAYS = { left: [-0.6, 0], up: [0, -0.6], down: [0, 0.6], right: [0.6, 0] };

export function SeamMap({ drawing, roof, chosen, title, onpick }) {
  const { say } = useReader();
  const frame = useRef();
  const [size, setSize] = useState(null);
  const [nearer, setNearer] = useState(1);
  useEffect(() => {
    const watch = new ResizeObserver(([entry]) => setSize(Math.floor(entry.contentRect.width)));
    watch.observe(frame.current);
    return () => watch.disconnect();
  }, []);
  const whole = size && Math.min((size - FRAME - 2 * EDGE) / drawing.width, (innerHeight * TALLEST - 2 * EDGE) / drawing.height);
  const most = whole && Math.max(1, NEAREST_PITCH / (pitchOf(drawing) * whole));
  const scale = whole * nearer;
  return html`<div class="map" ref=${frame}>
    ${whole > 0 && html`<${View} ...${{ drawing, roof, chosen, title, onpick, scale, height: whole * drawing.height + 2 * EDGE, isNear: nearer > 1 }} />
    <div class="map-keys">
      <button type="button" class="kit-square" aria-label=${say("map.nearer")} aria-disabled=${nearer >= most ? "true" : undefined} onClick=${() => setNearer(Math.min(most, nearer * NEARER))}><${Shape} name="more" /></button>
      <button type="button" class="kit-square" aria-label=${say("map.farther")} aria-disabled=${nearer <= 1 ? "true" : undefined} onClick=${() => setNearer(Math.max(1, nearer / NEARER))}><${Shape} name="less" /></button>
      ${nearer > 1 && html`<button type="button" class="kit-button" onClick=${() => setNearer(1)}>${say("map.whole")}</button>`}
    </div>`}
  </div>`;
}

function View({ drawing, roof, chosen, title, onpick, scale, height, isNear }) {
  const { say } = useReader();
  const { view, middle, note } = useView(drawing, scale, height);
  const last = useRef(chosen);
  useLayoutEffect(() => { // a seam picked in the list comes into view
    const seam = chosen !== last.current && drawing.seams.find(({ id }) => id === chosen);
    last.current = chosen;
    if (!seam || !isNear) return;
    const [[x, y]] = [seam.at((seam.spans[0][0] + seam.spans[0][1]) / 2)];
    const [left, top] = [x * scale - view.current.scrollLeft, y * scale - view.current.scrollTop];
    const isSeen = left > 0 && top > 0 && left < view.current.clientWidth && top < view.current.clientHeight;
    if (!isSeen) {
      middle.current = [x, y];
      view.current.scrollTo(EDGE + x * scale - view.current.clientWidth / 2, EDGE + y * scale - view.current.clientHeight / 2);
    }
  }, [chosen]);
  const tap = (event) => {
    const box = event.currentTarget.firstElementChild.getBoundingClientRect();
    const place = [(event.clientX - box.left - EDGE) / scale, (event.clientY - box.top - EDGE) / scale];
    const found = nearestSeam(drawing.seams, place, FINGER / scale);
    if (found) { last.current = found; onpick(found); }
  };
  const move = ([x, y]) => view.current.scrollBy(x * view.current.clientWidth, y * view.current.clientHeight);
  return html`<div class="map-view" tabindex="0" role="region" aria-label=${title} ref=${view} onScroll=${note} onClick=${tap}>
      <${Drawn} ...${{ drawing, roof, chosen, scale }} />
    </div>
    ${isNear && html`<div class="map-ways">${Object.entries(WAYS).map(([way, step]) => html`<button key=${way} type="button" class=${`kit-square ${way}`} aria-label=${say(`map.${way}`)} onClick=${() => move(step)}><${Shape} name="on" /></button>`)}</div>`}`;
}
