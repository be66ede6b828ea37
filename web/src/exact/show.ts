// Lengths for the eye, with the carry right: 1' 0", never 0' 12".
import { FOOT_M, INCH_M } from "./length.ts";
import { compare, floor, minus, negative, over, rational, size, times, wholeSteps, type Rational } from "./rational.ts";

export const SIXTEENTH = rational(1, 16);
export const EIGHTH = rational(1, 8);
const TWELVE = rational(12);

function inchesOf(m: Rational, step: Rational): Rational {
  return times(rational(wholeSteps(over(m, INCH_M), step)), step);
}

function mixed(inches: Rational): string {
  const whole = floor(inches);
  const part = minus(inches, rational(whole));
  if (part.top === 0n) return String(whole);
  const fraction = `${part.top}/${part.bottom}`;
  return whole > 0n ? `${whole} ${fraction}` : fraction;
}

/** A length in metres to the nearest step in inches: `5' 7 3/8"`, and below one foot `4 1/2 in` if `short`. */
export function feetInches(m: Rational, step: Rational = SIXTEENTH, short = true): string {
  const inches = inchesOf(m, step);
  const sign = inches.top < 0n ? "-" : "";
  const all = sign ? negative(inches) : inches;
  if (short && compare(all, TWELVE) < 0) return `${sign}${mixed(all)} in`;
  const feet = floor(over(all, TWELVE));
  const rest = minus(all, rational(feet * 12n));
  const nought = rest.top > 0n && rest.top < rest.bottom ? "0 " : ""; // a fraction right beside the feet is misread
  return `${sign}${feet}' ${nought}${mixed(rest)}"`;
}

/** A length in metres in inches alone, to the nearest step in inches: `55 3/8 in`. */
export function inchesOnly(m: Rational, step: Rational = SIXTEENTH): string {
  const inches = inchesOf(m, step);
  return `${inches.top < 0n ? "-" : ""}${mixed(size(inches))} in`;
}

/** With so many places, a half away from nothing, and never a minus before nothing. */
export function fixed(value: Rational, places: number): string {
  const count = wholeSteps(value, rational(1n, 10n ** BigInt(places)));
  const digits = String(count < 0n ? -count : count).padStart(places + 1, "0");
  const text = places === 0 ? digits : `${digits.slice(0, -places)}.${digits.slice(-places)}`;
  return count < 0n ? `-${text}` : text;
}

/** A level difference in metres as the named rod reads it: to 1/8 in, 0.01 ft or 1 mm. */
export function showRod(m: Rational, rod: string): string {
  if (rod === "ft-in") return feetInches(m, EIGHTH, false);
  if (rod === "inches") return inchesOnly(m, EIGHTH);
  if (rod === "tenths") return `${fixed(over(m, FOOT_M), 2)} ft`;
  if (rod === "metric") return `${fixed(m, 3)} m`;
  throw new RangeError(`no such rod: ${rod}`);
}
