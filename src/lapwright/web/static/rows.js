// Test welds of the page to rows of the test-weld file, and back. No page, no storage.
// A row is one strip; a column has one unit for all rows, as the file wants it.

import { numberIn, textIn, unitsOf } from "./units.js";

const OF_WELD = ["air", "speed", "ambient", "sheet", "measured_air"];
const ORDER = ["weld", "air", "speed", "ambient", "sheet", "strip", "pull", "overheat"];

// The unit of the first weld that has the value: a morning typed in one unit goes out as typed.
function unitsUsed(welds) {
  const used = {};
  const note = (measure, quantity) => {
    if (quantity) used[measure] ??= quantity.unit;
  };
  for (const weld of welds) {
    for (const measure of OF_WELD) note(measure, weld[measure]);
    for (const strip of weld.strips) note("band", strip.band);
  }
  return used;
}

export function rowsOf(welds) {
  const used = unitsUsed(welds);
  const put = (row, measure, quantity) => {
    const unit = used[measure];
    if (unit) row[`${measure}_${unit}`] = textIn(quantity, unit, 3);
  };
  return welds.flatMap((weld) =>
    weld.strips.map(({ strip, pull, overheat, band, note }) => {
      const row = { weld: weld.name };
      for (const measure of OF_WELD) put(row, measure, weld[measure]);
      Object.assign(row, { volts: weld.volts ?? "", strip, pull, overheat });
      put(row, "band", band);
      return { ...row, note: note ?? "" };
    }),
  );
}

// A decimal comma becomes a point: rows carry numbers in one spelling.
const plain = (cell) => (Number.isFinite(numberIn(cell)) ? String(numberIn(cell)) : String(cell));
const isBlank = (cell) => cell === undefined || cell === null || cell === "";

function take(row, measure) {
  const unit = unitsOf(measure).find((each) => !isBlank(row[`${measure}_${each}`]));
  return unit ? { value: plain(row[`${measure}_${unit}`]), unit } : null;
}

// What belongs to the weld may stand in one of its rows and be blank in the others.
export function weldsIn(rows, origin) {
  const welds = new Map();
  for (const row of rows) {
    const name = String(row.weld);
    if (!welds.has(name)) welds.set(name, { name, origin, volts: "", strips: [] });
    const weld = welds.get(name);
    for (const measure of OF_WELD) weld[measure] ??= take(row, measure);
    if (!isBlank(row.volts)) weld.volts = plain(row.volts);
    weld.strips.push({
      strip: String(row.strip),
      pull: row.pull,
      overheat: row.overheat ?? "",
      band: take(row, "band"),
      note: row.note ?? "",
    });
  }
  return [...welds.values()];
}

// What the crew saw of heat on a weld: one answer, the hotter wins; "" means not looked.
export function heatOf(weld) {
  const seen = weld.strips.map((strip) => strip.overheat);
  return ["signs", "none"].find((answer) => seen.includes(answer)) ?? "";
}

export function csvOf(rows) {
  const rank = (column) => {
    const place = ORDER.findIndex((name) => column === name || column.startsWith(`${name}_`));
    return place < 0 ? ORDER.length : place;
  };
  const isNeeded = (column) => column === "overheat" || rows.some((row) => row[column] !== "");
  const columns = Object.keys(rows[0]).filter(isNeeded).sort((one, other) => rank(one) - rank(other));
  const cell = (text) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const lines = rows.map((row) => columns.map((column) => cell(row[column])).join(","));
  return [columns.join(","), ...lines, ""].join("\r\n");
}
