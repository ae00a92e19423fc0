// Quantities as a person typed them, and their conversion. No page, no storage.
// A quantity is {value: "860", unit: "f"}: the text and the unit it was typed in stay
// together, so switching units back and forth shows what was typed, not a rounding of it.

const SCALE_ZERO = {
  f: [5 / 9, (459.67 * 5) / 9],
  c: [1, 273.15],
  ft_min: [0.3048 / 60, 0],
  m_min: [1 / 60, 0],
  in: [0.0254, 0],
  mm: [0.001, 0],
  ft: [0.3048, 0],
  m: [1, 0],
  percent: [0.01, 0],
  h: [3600, 0],
  kw: [1000, 0],
  w: [1, 0],
  v: [1, 0],
  min: [60, 0],
  s: [1, 0],
  mil: [0.0000254, 0],
  lbf: [4.4482216152605, 0],
  n: [1, 0],
};
const scaleOf = (unit) => (unit === null ? [1, 0] : SCALE_ZERO[unit]); // null: SI itself

const EVERYWHERE = { share: "percent", time: "h", power: "kw", volts: "v" };
const UNITS = {
  us: { temperature: "f", speed: "ft_min", width: "in", length: "ft", ...EVERYWHERE },
  metric: { temperature: "c", speed: "m_min", width: "mm", length: "m", ...EVERYWHERE },
};

const DECIMALS = { ft_min: 1, m_min: 2, in: 2, h: 1, kw: 1 }; // the others are whole
export const SYMBOLS = {
  f: "°F", c: "°C", ft_min: "ft/min", m_min: "m/min", in: "in", mm: "mm",
  ft: "ft", m: "m", percent: "%", h: "h", kw: "kW", v: "V",
  w: "W", min: "min", s: "s", mil: "mil", lbf: "lbf", n: "N",
};

const MEASURES = {
  air: "temperature",
  speed: "speed",
  ambient: "temperature",
  sheet: "temperature",
  measured_air: "temperature",
  band: "width",
  humidity: "share",
  since_test: "time",
  cord_length: "length",
  generator: "power",
  volts: "volts",
};

export const unitOf = (measure, system) => UNITS[system][MEASURES[measure] ?? measure];
export const unitsOf = (measure) => [unitOf(measure, "us"), unitOf(measure, "metric")];

export function convert(value, from, to) {
  const [scale, zero] = scaleOf(from);
  const [toScale, toZero] = scaleOf(to);
  return (value * scale + zero - toZero) / toScale;
}

// Empty text is no number; a comma is a decimal comma.
export function numberIn(text) {
  const clean = String(text ?? "").trim().replace(",", ".");
  return clean === "" ? NaN : Number(clean);
}

export const rounded = (value, unit, decimals = DECIMALS[unit] ?? 0) =>
  String(Number(value.toFixed(decimals)));

// One tap up or down, onto whole steps; from empty it starts at a usual value.
export function stepped(quantity, { unit, size, usual, direction }) {
  const now = valueIn(quantity, unit);
  const value = Number.isFinite(now)
    ? (direction > 0 ? Math.floor(now / size + 1e-6) + 1 : Math.ceil(now / size - 1e-6) - 1) * size
    : Math.round(valueIn(usual, unit) / size) * size;
  return { value: rounded(value, unit), unit };
}

export function valueIn(quantity, unit) {
  return convert(numberIn(quantity?.value), quantity?.unit ?? unit, unit);
}

export function textIn(quantity, unit, decimals = DECIMALS[unit] ?? 0) {
  if (!quantity || quantity.unit === unit) return quantity?.value ?? "";
  const value = valueIn(quantity, unit);
  return Number.isFinite(value) ? rounded(value, unit, decimals) : quantity.value;
}

// Shown, not kept: the decimal mark of the language. Fields read either mark.
export const spelt = (text, { decimal }) => text.replace(".", decimal);

export const withUnit = (value, unit, say) =>
  `${spelt(rounded(value, unit), say).replace("-", "−")} ${SYMBOLS[unit]}`;

export const quantityText = (quantity, unit, say) =>
  `${spelt(textIn(quantity, unit), say)} ${SYMBOLS[unit]}`;
