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
};

const UNITS = {
  us: { temperature: "f", speed: "ft_min", width: "in" },
  metric: { temperature: "c", speed: "m_min", width: "mm" },
};

const DECIMALS = { f: 0, c: 0, ft_min: 1, m_min: 2, in: 2, mm: 0 };
export const SYMBOLS = { f: "°F", c: "°C", ft_min: "ft/min", m_min: "m/min", in: "in", mm: "mm" };

const MEASURES = {
  air: "temperature",
  speed: "speed",
  ambient: "temperature",
  sheet: "temperature",
  measured_air: "temperature",
  band: "width",
};

export const unitOf = (measure, system) => UNITS[system][MEASURES[measure] ?? measure];
export const unitsOf = (measure) => [unitOf(measure, "us"), unitOf(measure, "metric")];

export function convert(value, from, to) {
  const [scale, zero] = SCALE_ZERO[from];
  const [toScale, toZero] = SCALE_ZERO[to];
  return (value * scale + zero - toZero) / toScale;
}

// Empty text is no number; a comma is a decimal comma.
export function numberIn(text) {
  const clean = String(text ?? "").trim().replace(",", ".");
  return clean === "" ? NaN : Number(clean);
}

export const rounded = (value, unit, decimals = DECIMALS[unit]) =>
  String(Number(value.toFixed(decimals)));

export function valueIn(quantity, unit) {
  return convert(numberIn(quantity?.value), quantity?.unit ?? unit, unit);
}

export function textIn(quantity, unit, decimals = DECIMALS[unit]) {
  if (!quantity || quantity.unit === unit) return quantity?.value ?? "";
  const value = valueIn(quantity, unit);
  return Number.isFinite(value) ? rounded(value, unit, decimals) : quantity.value;
}

export const withUnit = (value, unit) => `${rounded(value, unit)} ${SYMBOLS[unit]}`;

export const quantityText = (quantity, unit) => `${textIn(quantity, unit)} ${SYMBOLS[unit]}`;
