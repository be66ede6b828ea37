// Lengths as people type them: feet, inches and fractions, or any unit of the table; exact.
import { NUMBER, plainText, readNumber, splitNumber } from "./number.ts";
import { compare, negative, over, plus, rational, times, type Rational } from "./rational.ts";
import { quoted, Refusal } from "./refusal.ts";

export const EXAMPLES = "5' 7 3/8\", 67 3/8 in, 5.61 ft, 1.71 m, 171 cm, 1711 mm";
export const FOOT_M = rational(3048, 10000); // international foot, 1959
export const INCH_M = over(FOOT_M, rational(12));

const TABLE: [string, Rational][] = [
  ["ft|'|feet|foot", FOOT_M],
  ['in|"|inch|inches', INCH_M],
  ["m|metre|metres|meter|meters", rational(1)],
  ["cm", rational(1, 100)],
  ["mm", rational(1, 1000)],
  ["yd|yard|yards", times(FOOT_M, rational(3))],
  ["mil|mils", over(INCH_M, rational(1000))],
  ["km", rational(1000)],
];
const SPELT = new Map(TABLE.flatMap(([names, m]) => names.split("|").map((name) => [name, [names.split("|")[0] ?? "", m]] as const)));

/** What was typed, its exact value in `unit`, and the same in metres. */
export interface Length {
  readonly text: string;
  readonly unit: string;
  readonly exact: Rational;
  readonly m: Rational;
}

/** How many metres a unit of length has; undefined for what is none. */
export function unitNamed(spelt: string): readonly [name: string, m: Rational] | undefined {
  return SPELT.get(spelt) ?? SPELT.get(spelt.toLowerCase());
}

export function length(text: string, unit: string, exact: Rational): Length {
  const found = SPELT.get(unit);
  if (found === undefined) throw new RangeError(`no such unit of length: ${unit}`);
  return { text, unit: found[0], exact, m: times(exact, found[1]) };
}

const FEET = "(?:'|ft\\.?|feet|foot)";
const INCHES = '(?:"|in\\.?|inch|inches)';
const FEET_AND_INCHES = new RegExp(`^([+-]?) ?(${NUMBER}) ?${FEET} ?-? ?(${NUMBER}) ?${INCHES}?$`, "i");

/** Feet, exactly, from a text that has both feet and inches; null if it is no such text. */
export function feetAndInches(plain: string, typed: string): Rational | null {
  const match = FEET_AND_INCHES.exec(plain);
  if (match === null) return null;
  const [, sign, feet = "", inches = ""] = match;
  if (!/^[0-9]+$/.test(feet))
    throw new Refusal("decimal or broken feet stand beside inches: write 5.7 ft or 5' 8 3/8\"", typed, EXAMPLES);
  const small = readNumber(inches, typed);
  if (compare(small, rational(12)) >= 0)
    throw new Refusal("twelve inches or more stand beside feet: write 6' 1\" or 73 in", typed, EXAMPLES);
  const value = plus(rational(BigInt(feet)), over(small, rational(12)));
  return sign === "-" ? negative(value) : value;
}

/** A unit's spelling without full stops, carets and idle spaces; `per` becomes a stroke. */
export function spelling(typed: string): string {
  return typed
    .replaceAll(/([A-Za-z])\./g, "$1 ")
    .replaceAll("^", "")
    .replaceAll(/ *(?:\/|\bper\b) */g, "/")
    .replaceAll(/\/(?:(h)(?:ou)?rs?|(min)utes?|(s)ec(?:onds?)?)\b/g, "/$1$2$3")
    .split(" ")
    .filter(Boolean)
    .join(" ");
}

/** One length from one typed text; a bare number is none. */
export function readLength(text: string): Length {
  const plain = plainText(text);
  const feet = feetAndInches(plain, text);
  if (feet !== null) return length(text, "ft", feet);
  const [value, rest] = splitNumber(plain, text);
  const name = spelling(rest);
  if (/^\p{Nd}/u.test(name))
    throw new Refusal("two numbers: write one number without spaces in it, then the unit", text, EXAMPLES);
  const found = name ? unitNamed(name) : undefined;
  if (found) return length(text, found[0], value);
  if (name) throw new Refusal(`${quoted(rest)} is not a unit of length`, text, EXAMPLES);
  throw new Refusal("a length needs a unit", text, EXAMPLES);
}
