// Screens for practice, by their address after the #. Their words come with them.

import { html } from "../../kit/html.js";
import { loadWords } from "../../words.js";
import { Learn } from "./learn.js";
import { Decide, End, Look, Morning } from "./practice.js";
import { Marks, Quiz } from "./quiz.js";

const own = new URL(".", import.meta.url);
const folders = ["../../kit/", "../", "../said/", "./"];
await loadWords(...folders.map((folder) => new URL(folder, own)));

export const SCREENS = {
  "today/learn": () => html`<${Learn} />`,
  "today/learn/pull": (place) => html`<${Quiz} of="pull" place=${place} />`,
  "today/learn/look": (place) => html`<${Quiz} of="look" place=${place} />`,
  "today/learn/marks": (of) => html`<${Marks} of=${of} />`,
  "today/learn/morning": () => html`<${Morning} />`,
  "today/learn/morning/look": () => html`<${Look} />`,
  "today/learn/morning/decide": () => html`<${Decide} />`,
  "today/learn/morning/end": () => html`<${End} />`,
};
