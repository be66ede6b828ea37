// What the keys of the number pad come to: a reading as the chosen rod has it, in the words that the book is kept in.

export type Division = "ft-in" | "tenths" | "inches" | "metric";

/** Rods by the words on their keys, the same on every screen. */
export const RODS: readonly (readonly [Division, string])[] = [["ft-in", "feet, inches, eighths"], ["tenths", "feet and tenths"], ["inches", "inches"], ["metric", "metres"]]; // prettier-ignore

/**
 * What was keyed so far. `feet` is null until the foot key was pressed; `sixteenths` is the fraction of an inch; `below`
 * says that it is less than nothing, as a rod that reads direct may.
 */
export interface Keyed {
  readonly division: Division;
  readonly below: boolean;
  readonly feet: string | null;
  readonly digits: string;
  readonly sixteenths: number;
}

export type Key = "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "." | "foot" | "minus" | "back" | "clear";

const MOST_DIGITS = 6;

export const nothing = (division: Division): Keyed => ({ division, below: false, feet: null, digits: "", sixteenths: 0 });

/** The keys beside the digits that this rod has. */
export const hasFractions = (division: Division): boolean => division === "ft-in" || division === "inches";

/** What stands there after a key; unchanged where the key makes no sense, as a second point. */
export function press(keyed: Keyed, key: Key): Keyed {
  if (key === "clear") return nothing(keyed.division);
  if (key === "back") return back(keyed);
  if (key === "minus") return { ...keyed, below: !keyed.below };
  if (key === "foot")
    return keyed.division === "ft-in" && keyed.feet === null && keyed.sixteenths === 0
      ? { ...keyed, feet: keyed.digits || "0", digits: "" }
      : keyed;
  if (key === ".")
    return hasFractions(keyed.division) || keyed.digits.includes(".")
      ? keyed
      : { ...keyed, digits: `${keyed.digits || "0"}.` };
  const digits = keyed.digits === "0" ? key : keyed.digits + key;
  if (digits.length > MOST_DIGITS) return keyed;
  return { ...keyed, digits };
}

function back(keyed: Keyed): Keyed {
  if (keyed.sixteenths > 0) return { ...keyed, sixteenths: 0 };
  if (keyed.digits) return { ...keyed, digits: keyed.digits.slice(0, -1) };
  return keyed.feet === null ? { ...keyed, below: false } : { ...keyed, feet: null, digits: keyed.feet };
}

/** The fraction set to so many sixteenths of an inch. */
export function fraction(keyed: Keyed, sixteenths: number): Keyed {
  const within = Number.isInteger(sixteenths) && sixteenths >= 0 && sixteenths < 16;
  return hasFractions(keyed.division) && within ? { ...keyed, sixteenths } : keyed;
}

/** Sixteenths in lowest terms: 6 is 3/8; nothing is "". */
export function fractionText(sixteenths: number): string {
  if (sixteenths === 0) return "";
  let [top, bottom] = [sixteenths, 16];
  while (top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  return `${top}/${bottom}`;
}

/** Whether something is there that could be kept. */
export const isSomething = ({ feet, digits, sixteenths }: Keyed): boolean =>
  feet !== null || sixteenths > 0 || /[0-9]$/.test(digits);

/** Twelve inches or more beside feet: a slip, and nobody can tell which way. */
export const isTooMany = ({ feet, digits }: Keyed): boolean => feet !== null && Number(digits) > 11;

/** A bare number where feet and inches are keyed: 24 ft, or 24 in? Then the number; else empty. */
export const bareOf = ({ division, feet, digits, sixteenths }: Keyed): string =>
  division === "ft-in" && feet === null && sixteenths === 0 && Number(digits) > 0 ? digits : "";

/** The reading as it is written in the book: `4' 7 3/8"`, `55 3/8`, `4.61`, `1.406`; empty where there is none. */
export function textOf(keyed: Keyed): string {
  if (!isSomething(keyed)) return "";
  return (keyed.below ? "-" : "") + sizeOf(keyed);
}

function sizeOf(keyed: Keyed): string {
  const part = fractionText(keyed.sixteenths);
  if (!hasFractions(keyed.division)) return keyed.digits;
  const inches = [keyed.digits || (part ? "" : "0"), part].filter(Boolean).join(" ");
  if (keyed.division === "inches") return inches;
  if (keyed.feet === null) return `${inches}"`;
  return `${Number(keyed.feet)}' ${keyed.digits || !part ? inches : `0 ${part}`}"`;
}
