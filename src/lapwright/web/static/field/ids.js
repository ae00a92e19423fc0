// Ids and moments made where a fact is made: no server, no collision, in the order of time.

// A UUID of version 7 (RFC 9562) from the clock and ten bytes of chance.
export function uuid7(milliseconds, chance) {
  const bytes = new Uint8Array(16);
  for (let n = 5, rest = milliseconds; n >= 0; n--, rest = Math.floor(rest / 256)) bytes[n] = rest % 256;
  bytes.set(chance, 6);
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

// getRandomValues is there on plain http, too; randomUUID is not.
export const newId = (milliseconds = Date.now()) =>
  uuid7(milliseconds, crypto.getRandomValues(new Uint8Array(10)));

// A moment with the offset where it happened, as "2026-05-04T07:05:12.345-05:00".
export function stamp(milliseconds, offset = -new Date(milliseconds).getTimezoneOffset()) {
  const two = (number) => String(number).padStart(2, "0");
  const away = Math.abs(offset);
  const local = new Date(milliseconds + offset * 60_000).toISOString().slice(0, -1);
  return `${local}${offset < 0 ? "-" : "+"}${two(Math.floor(away / 60))}:${two(away % 60)}`;
}

const MOMENT = /^(\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?)(?:[.,](\d{1,6})\d*)?(Z|[+-]\d\d:?\d\d)$/;

// Microseconds since 1970, so that two moments compare as the server compares them; NaN for
// what is no moment with its offset.
export function moment(text) {
  const [, clock, fraction = "", offset] = MOMENT.exec(text) ?? [];
  if (!clock) return NaN;
  const whole = Date.parse(clock + (offset === "Z" || offset.includes(":") ? offset : `${offset.slice(0, 3)}:${offset.slice(3)}`));
  return whole * 1000 + Number(fraction.padEnd(6, "0"));
}
