// A level that was read against the level that was planned: met, or how far to go.
import type { Surface } from "../api.ts";
import { minus, read, size, textOf, type Rational } from "../exact/rational.ts";
import { EIGHTH, feetInches, showRod } from "../exact/show.ts";

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

export interface ToDo {
  readonly met: boolean;
  readonly arrow: string;
  readonly size: string; // how far off plan; with its sign where it is met
  readonly words: string;
}

/** What is left to do, in words: earth is cut and filled, the rest set anew. */
export function todo({ state, off }: Pick<Verdict, "state" | "off">, rod: string, surface: Surface): ToDo {
  const far = read(off);
  const shown = (m: Rational): string => (rod === "ft-in" ? feetInches(m, EIGHTH) : showRod(m, rod)); // an inch, not 0' 1"
  if (state === "met") return { met: true, arrow: "", size: shown(far), words: "off plan" };
  const earth = surface === "dig" || surface === "ground";
  const words = far.top > 0n ? (earth ? "to cut" : "to lower") : earth ? "to fill" : "to raise";
  return { met: false, arrow: far.top > 0n ? "↓" : "↑", size: shown(size(far)), words };
}
