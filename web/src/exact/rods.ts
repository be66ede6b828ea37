// What a rod reads. Rods in tenths, in inches, in feet and inches and in metres are never taken for each other.
import { feetAndInches, length, spelling, unitNamed, type Length } from "./length.ts";
import { plainText, splitNumber } from "./number.ts";
import { compare, isWhole, rational, size, type Rational } from "./rational.ts";
import { quoted, Refusal } from "./refusal.ts";

export const RODS: Record<string, string> = {
  "ft-in": "feet, inches and fractions with their signs, as 4' 7 3/8\"",
  tenths: "feet and decimals, as 4.61",
  inches: "inches with fractions or decimals, as 55 3/8",
  metric: "metres, as 1.406, or 1406 mm",
};
const UNITS: Record<string, string[]> = {
  "ft-in": ["ft", "in"],
  tenths: ["ft"],
  inches: ["in"],
  metric: ["m", "cm", "mm"],
};
const BARE: Record<string, string> = { tenths: "ft", inches: "in", metric: "m" };
const TALLEST_METRIC = rational(10); // m, bare

/** One rod reading as written, for the rod it was read on; exact, with the text kept. */
export function rodReading(text: string, rod: string): Length {
  if (!Object.hasOwn(RODS, rod)) throw new Refusal("no such rod", rod, Object.keys(RODS).join(", "));
  const plain = plainText(text);
  const feet = feetAndInches(plain, text);
  if (feet !== null) {
    if (rod !== "ft-in") throw which(`feet and inches on a rod named ${quoted(rod)}`, text, rod);
    return length(text, "ft", feet);
  }
  const [value, rest] = splitNumber(plain, text);
  return length(text, rodUnit(value, rest, rod, text), value);
}

function which(message: string, typed: string, rod: string): Refusal {
  return new Refusal(`${message}: which rod was read?`, typed, RODS[rod]);
}

function rodUnit(value: Rational, rest: string, rod: string, typed: string): string {
  const name = spelling(rest);
  if (!name) return bareUnit(value, rod, typed);
  const found = unitNamed(name)?.[0];
  if (found === undefined || !UNITS[rod]?.includes(found))
    throw which(`${quoted(rest)} does not stand on a rod named ${quoted(rod)}`, typed, rod);
  if (rod === "ft-in" && found === "ft" && !isWhole(value))
    throw which("decimal feet on a rod in feet and inches", typed, rod);
  refuseFraction(rod, typed);
  return found;
}

function bareUnit(value: Rational, rod: string, typed: string): string {
  if (rod === "ft-in") throw which("a bare number on a rod in feet and inches", typed, rod);
  if (rod === "metric" && compare(size(value), TALLEST_METRIC) >= 0)
    throw new Refusal("taller than any rod in metres: write the unit if it is mm or cm", typed, RODS[rod]);
  refuseFraction(rod, typed);
  return BARE[rod] ?? "";
}

function refuseFraction(rod: string, typed: string): void {
  if ((rod === "tenths" || rod === "metric") && /[/½⅓⅔¼¾⅛⅜⅝⅞⁄∕]/.test(typed))
    throw which(`a fraction on a rod named ${quoted(rod)}`, typed, rod);
}
