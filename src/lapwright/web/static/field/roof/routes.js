// Screens of the roof, by their address after the #.

import { html } from "../../kit/html.js";
import { Draw } from "./draw.js";
import { RoofMap } from "./map.js";
import { Punch } from "./punch.js";
import { Story } from "./story.js";
import { Suspect } from "./suspect.js";
import { Symptom, Symptoms } from "./symptom.js";

export const SCREENS = {
  map: () => html`<${RoofMap} />`,
  "map/story": (seam) => html`<${Story} seam=${seam} />`,
  "map/symptom": (name) => (name ? html`<${Symptom} name=${name} />` : html`<${Symptoms} />`),
  "map/suspect": (id) => html`<${Suspect} id=${id} />`,
  "map/punch": () => html`<${Punch} />`,
  "map/plan": () => html`<${Draw} />`,
};
