// The parts that screens of the field page are made of. Each says in its file what it takes.

export * from "./html.js";
export { Choice, YesNo } from "./choice.js";
export { BigButton, Drawer, Screen, sunMode } from "./frame.js";
export { Banner, Count, ListRow, Rows, UndoBar } from "./lines.js";
export { Measure, StationField } from "./measure.js";
export { PhotoField } from "./photo.js";
export { Reader, useReader } from "./reader.js";
export { Placed, Shape } from "./shapes.js";
export { Timer, cooling } from "./timer.js";
