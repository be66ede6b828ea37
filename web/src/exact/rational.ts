// Exact fractions of whole numbers, as JSON text: a decimal where it ends ("1.2065"), else a fraction ("1/3").

export interface Rational {
  readonly top: bigint;
  readonly bottom: bigint; // above nothing, and without a common part with `top`
}

function common(a: bigint, b: bigint): bigint {
  while (b !== 0n) [a, b] = [b, a % b];
  return a < 0n ? -a : a;
}

export function rational(top: bigint | number, bottom: bigint | number = 1n): Rational {
  let [t, b] = [BigInt(top), BigInt(bottom)];
  if (b === 0n) throw new RangeError("a fraction cannot divide by nothing");
  if (b < 0n) [t, b] = [-t, -b];
  const shared = common(t, b);
  return shared === 1n ? { top: t, bottom: b } : { top: t / shared, bottom: b / shared };
}

export const ZERO = rational(0);
export const plus = (a: Rational, b: Rational): Rational =>
  rational(a.top * b.bottom + b.top * a.bottom, a.bottom * b.bottom);
export const minus = (a: Rational, b: Rational): Rational => plus(a, negative(b));
export const times = (a: Rational, b: Rational): Rational => rational(a.top * b.top, a.bottom * b.bottom);
export const over = (a: Rational, b: Rational): Rational => rational(a.top * b.bottom, a.bottom * b.top);
export const negative = (a: Rational): Rational => ({ top: -a.top, bottom: a.bottom });
export const size = (a: Rational): Rational => (a.top < 0n ? negative(a) : a);
export const isWhole = (a: Rational): boolean => a.bottom === 1n;
export const same = (a: Rational, b: Rational): boolean => a.top === b.top && a.bottom === b.bottom;

/** Below nothing, nothing or above it, as `a` is below, at or above `b`. */
export function compare(a: Rational, b: Rational): number {
  const gap = a.top * b.bottom - b.top * a.bottom;
  return gap < 0n ? -1 : gap > 0n ? 1 : 0;
}

/** The greatest whole number that is not above it. */
export function floor(a: Rational): bigint {
  const whole = a.top / a.bottom;
  return a.top < 0n && whole * a.bottom !== a.top ? whole - 1n : whole;
}

/** How many steps it is from nothing, to the nearest, a half away from nothing. */
export function wholeSteps(value: Rational, step: Rational): bigint {
  if (step.top <= 0n) throw new RangeError("a step must be above nothing");
  const count = floor(plus(over(size(value), step), rational(1, 2)));
  return value.top < 0n ? -count : count;
}

/** Digits, a point and an exponent, to the fraction that they are. */
export function fromDecimal(text: string): Rational {
  const match = /^([+-]?)([0-9]*)(?:\.([0-9]*))?(?:[eE]([+-]?[0-9]+))?$/.exec(text);
  if (match === null || ((match[2] ?? "") === "" && (match[3] ?? "") === "")) throw new SyntaxError(`no number: ${text}`);
  const behind = match[3] ?? "";
  const places = BigInt(behind.length) - BigInt(match[4] ?? "0");
  const digits = BigInt((match[2] ?? "") + behind) * (match[1] === "-" ? -1n : 1n);
  return places >= 0n ? rational(digits, 10n ** places) : rational(digits * 10n ** -places);
}

/** What `text` says, as `textOf` writes it. */
export function read(text: string): Rational {
  const [top, bottom] = text.split("/");
  return bottom === undefined ? fromDecimal(text) : rational(BigInt(top ?? ""), BigInt(bottom));
}

/** Written out exactly: as a decimal where it ends, else as a fraction. */
export function textOf(value: Rational): string {
  let bottom = value.bottom;
  let places = 0;
  for (const factor of [2n, 5n]) {
    let count = 0;
    while (bottom % factor === 0n) [bottom, count] = [bottom / factor, count + 1];
    places = Math.max(places, count);
  }
  if (bottom !== 1n) return `${value.top}/${value.bottom}`;
  const sign = value.top < 0n ? "-" : "";
  const digits = String((size(value).top * 10n ** BigInt(places)) / value.bottom).padStart(places + 1, "0");
  return places === 0 ? sign + digits : `${sign}${digits.slice(0, -places)}.${digits.slice(-places)}`;
}
