// A level that was read against the level that was planned: met, or how far to go; and what to ask before the rod
// comes down. Nothing is ever dropped for a question: the reading is kept, and the question stands beside it.
import { compare, minus, negative, plus, read, size, textOf, type Rational } from "../exact/rational.ts";
import { Refusal } from "../exact/refusal.ts";
import { RODS } from "../exact/rods.ts";
import { levelBy, readingM, rodNamed } from "./rod.ts";
import { explain } from "./slips.ts";

/** A planned level and what it may really be, as exact text in metres. */
export interface Planned {
  readonly level: string;
  readonly low: string;
  readonly high: string;
}

export interface Verdict {
  readonly state: "met" | "too high" | "too low";
  readonly off: string; // level less plan: what is above nothing is to be cut, what is below it to be filled
  readonly beyond: string; // how far outside the band; nothing where it is met
}

/** Whether a level lies in its band, and what is to be cut or filled to the planned level. */
export function verdict(level: string, planned: Planned): Verdict {
  const at = read(level);
  const off = textOf(minus(at, read(planned.level)));
  const above = minus(at, read(planned.high));
  const below = minus(read(planned.low), at);
  if (above.top > 0n) return { state: "too high", off, beyond: textOf(above) };
  if (below.top > 0n) return { state: "too low", off, beyond: textOf(below) };
  return { state: "met", off, beyond: "0" };
}

export interface Question {
  readonly code: "slip" | "other rod";
  readonly change: string; // to the reading, in metres
  readonly words: string;
}

interface Taken {
  readonly rod: string;
  readonly reading: string;
  readonly height: string; // of instrument, in metres
  readonly planned: string;
  readonly near: string; // so near to the plan that a slip explains it
  readonly least?: string; // a smaller slip cannot be told from work that is so far out, and is not asked about
}

/** What would explain a reading that lies off its plan: a slip of the hand, or a rod of another division. */
export function questions({ rod, reading, height, planned, near, least = "0" }: Taken): Question[] {
  const held = rodNamed(rod);
  const value = readingM(reading, held);
  const gap = minus(levelBy(read(height), value, held), read(planned));
  if (compare(size(gap), read(near)) <= 0) return [];
  const bearing = { rod, reading, effect: held.direct ? 1 : -1 };
  const slips = explain(textOf(gap), [bearing], near).flatMap(({ change, words }): Question[] =>
    compare(size(read(change)), read(least)) >= 0 || words.includes("tenths") ? [{ code: "slip", change, words }] : [],
  );
  return [...slips, ...otherRods({ rod, reading, height, planned, near }, value)];
}

function otherRods({ rod, reading, height, planned, near }: Taken, value: Rational): Question[] {
  const held = rodNamed(rod);
  const found: Question[] = [];
  for (const division of Object.keys(RODS)) {
    const other = division === held.division ? null : maybe(() => readingM(reading, { ...held, division }));
    if (other === null) continue;
    const gap = minus(levelBy(read(height), other, held), read(planned));
    if (compare(size(gap), read(near)) <= 0)
      found.push({ code: "other rod", change: textOf(plus(other, negative(value))), words: division });
  }
  return found;
}

function maybe(call: () => Rational): Rational | null {
  try {
    return call();
  } catch (error) {
    if (error instanceof Refusal) return null;
    throw error;
  }
}
