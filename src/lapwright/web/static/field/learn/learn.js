// What there is to practise, and what every practice screen says: that it is no record.

import { Banner, ListRow, Rows, html, useReader } from "../../kit/kit.js";
import { ROOT } from "../server.js";
import { Page, go } from "../parts.js";

export const STRIPS = 10; // of one quiz

export const newSeed = () => crypto.getRandomValues(new Uint32Array(1))[0] % 1_000_000;

const WIDE = { display: "block", width: "100%", maxWidth: "30rem", height: "auto", background: "#fff" };

// A drawing comes as text, a photo by its address; the words are for who cannot see it.
export function Picture({ strip }) {
  const src = strip.photo ? new URL(strip.photo, ROOT).href : `data:image/svg+xml,${encodeURIComponent(strip.svg)}`;
  return html`<img class="drawn" src=${src} alt=${strip.says} style=${WIDE} />`;
}

export function Lines({ lines, isPlain }) {
  const items = lines.map((text) => html`<li key=${text}>${text}</li>`);
  return isPlain ? lines.map((text) => html`<p key=${text}>${text}</p>`) : html`<ul class="plain" role="list">${items}</ul>`;
}

// A page of practice: marked as such before anything else.
export function PracticePage({ title, back, action, wrong, children }) {
  const { say } = useReader();
  return html`<${Page} tab="today" title=${title} onback=${() => go(...back)} action=${action} banner=${html`<${Banner} text=${say("learn.mark")} />`}>
    ${wrong && html`<p class="heed test" role="alert"><span>${wrong}</span></p>`}
    ${children}
  <//>`;
}

// What an answer of the server did not bring, in words; null when it is there.
export const wrongOf = ({ answer, refusal }, say) => (answer ? null : refusal?.message ?? say("learn.no_signal"));

export function Learn() {
  const { say } = useReader();
  const rows = [["pull", "1"], ["look", "1"], ["morning"]];
  return html`<${PracticePage} title=${say("learn.title")} back=${["today"]}>
    <${Rows} label=${say("learn.title")}>${rows.map(([name, ...place]) => html`<${ListRow}
      key=${name}
      title=${say(`learn.${name}`)}
      note=${say(`learn.${name}.note`)}
      onpress=${() => go("today", "learn", name, ...place)}
    />`)}<//>
  <//>`;
}
