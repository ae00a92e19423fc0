// Screens opened now and then, by their address after the #: loaded when the first is.

import { html } from "../../kit/html.js";
import { List } from "./list.js";
import { Paper, PaperIn } from "./paper.js";

export const SCREENS = {
  "test/paper": () => html`<${Paper} />`,
  "test/paper/in": () => html`<${PaperIn} />`,
  "today/list": () => html`<${List} />`,
};
