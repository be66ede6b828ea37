// A rod: its division, and whether it reads downward as usual or upward, as a direct laser rod does.
import { readLength, unitNamed } from "../exact/length.ts";
import { compare, minus, plus, rational, size, times, type Rational } from "../exact/rational.ts";
import { Refusal } from "../exact/refusal.ts";
import { RODS, rodReading } from "../exact/rods.ts";

export interface Rod {
  readonly division: string;
  readonly direct: boolean;
}

const TALLEST_M = rational(10);
const FARTHEST_M = rational(10_000_000);
const ALLOWED = `${Object.keys(RODS).join(", ")}, or one of these after 'laser' for a direct-reading rod`;
const BARE_UNIT: Record<string, string> = { tenths: "ft", metric: "m", inches: "in" };

/** A rod from its words, as `ft-in` or `laser tenths`. */
export function rodNamed(words: string): Rod {
  const [first = "", ...rest] = words.toLowerCase().split(" ").filter(Boolean);
  const direct = first === "laser";
  const division = direct ? rest.join(" ") : [first, ...rest].join(" ");
  if (!Object.hasOwn(RODS, division)) throw new Refusal("unknown rod", words, ALLOWED);
  return { division, direct };
}

/** How the level goes with the reading. */
export const sign = (rod: Rod): Rational => rational(rod.direct ? 1 : -1);

/** A rod reading in metres, exact. A usual rod reads nothing or more; a direct one may read below its zero. */
export function readingM(text: string, rod: Rod): Rational {
  const { m } = rodReading(text, rod.division);
  if (m.top < 0n && !rod.direct) throw new Refusal("a rod reads nothing below its foot", text, "0 or more");
  if (!rod.direct && compare(m, TALLEST_M) > 0)
    throw new Refusal("taller than any rod", text, "at most 10 m");
  return within(m, text);
}

/** A level in metres, exact; a bare number is in the rod's unit, and 0 needs none. */
export function levelM(text: string, rod: Rod): Rational {
  const bare = text.replaceAll(/[+.-]/g, "").trim();
  if (!/^[0-9]+$/.test(bare)) return within(readLength(text).m, text);
  if (/^0+$/.test(bare)) return rational(0);
  const typed = `${text} ${BARE_UNIT[rod.division] ?? ""}`;
  return within(readLength(typed).m, typed);
}

function within(m: Rational, text: string): Rational {
  if (compare(size(m), FARTHEST_M) > 0) throw new Refusal("farther than any site reaches", text, "at most 10,000 km");
  return m;
}

/** Level of the line of sight, from a mark of known level and the reading on it. */
export const heightOfInstrument = (levelOfMark: Rational, reading: Rational, rod: Rod): Rational =>
  minus(levelOfMark, times(sign(rod), reading));

/** Level of what the rod stood on. */
export const levelBy = (height: Rational, reading: Rational, rod: Rod): Rational =>
  plus(height, times(sign(rod), reading));

/** The reading wanted on a level; below nothing, it lies above the line of sight of a usual rod. */
export const readingWanted = (height: Rational, level: Rational, rod: Rod): Rational =>
  times(sign(rod), minus(level, height));

/** A whole unit of length in metres, as "1 ft" or "0.1 m". */
export function step(text: string): Rational {
  const [number = "", unit = ""] = text.split(" ");
  const metres = unitNamed(unit)?.[1];
  if (metres === undefined) throw new RangeError(`no such length: ${text}`);
  return times(readLength(`${number} m`).m, metres);
}
