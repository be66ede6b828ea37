// How many arrangements fit, exactly: one pass per drop over the height used, with running sums.
import { at, leftOver, sizeOf, type Frame, type Window } from "./frame.ts";

/** The number of sequences of (kind, drop) that fit, each with at least one choice of pitches. */
export function countArrangements(frame: Frame): bigint {
  let count = 0n;
  for (const [number, ways] of waysOf(frame))
    leftOver(frame, number).forEach((left, used) => {
      if (left >= 0) count += ways[used] ?? 0n;
    });
  return count;
}

/** The least that any arrangement leaves over, or null where none fits. */
export function leastLeftOver(frame: Frame): number | null {
  let least: number | null = null;
  for (const [number, ways] of waysOf(frame))
    leftOver(frame, number).forEach((left, used) => {
      if (left >= 0 && ways[used] && (least === null || left < least)) least = left;
    });
  return least;
}

/** For each number of drops that may be: in how many ways the new ones use up 0, 1, 2, ... steps. */
function* waysOf(frame: Frame): Generator<[number, bigint[]]> {
  const size = sizeOf(frame);
  if (size === 0) return;
  let ways: bigint[] = Array.from({ length: size }, (_, used) => (used === 0 ? 1n : 0n));
  const most = frame.numbers.at(-1) ?? 0;
  for (let number = frame.first + 1; number <= most; number++) {
    if (frame.numbers.includes(number)) yield [number, afterOneMore(ways, at(frame.last, number))];
    ways = afterOneMore(ways, at(frame.inner, number));
  }
}

/** Ways to each height used once a drop from one of the windows is added. */
function afterOneMore(ways: readonly bigint[], windows: readonly Window[]): bigint[] {
  const below = [0n]; // below[u]: ways to use less than u
  for (const many of ways) below.push((below.at(-1) ?? 0n) + many);
  return ways.map((_, used) => {
    let many = 0n;
    for (const { low, high } of windows)
      if (used >= low) many += (below[used - low + 1] ?? 0n) - (used >= high ? (below[used - high] ?? 0n) : 0n);
    return many;
  });
}
