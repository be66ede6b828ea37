// A level that was read against the level that was planned: met, or how far to go.
import { minus, read, textOf } from "../exact/rational.ts";

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
