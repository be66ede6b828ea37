// Slips of the hand: which single reading, put right by a foot or a decimetre, explains what does not agree.
import { FOOT_M } from "../exact/length.ts";
import {
  compare, fromDecimal, isWhole, minus, negative, over, plus, rational, read, size, textOf, times, floor, type Rational,
} from "../exact/rational.ts"; // prettier-ignore
import { readingM, rodNamed, step } from "./rod.ts";

/** A reading that bears on a disagreement: +1 where the disagreement grows with it, -1 where it shrinks. */
export interface Bearing {
  readonly rod: string;
  readonly reading: string;
  readonly effect: number;
}

/** The reading, by its place in the list, and the change in metres that would put it right, in words. */
export interface Slip {
  readonly index: number;
  readonly change: string;
  readonly words: string;
}

const FOOT_STEPS = [["one foot", "1 ft"], ["ten feet", "10 ft"], ["one tenth of a foot", "0.1 ft"]]; // prettier-ignore
const INCH_STEPS = [["one foot", "1 ft"], ["ten inches", "10 in"], ["one inch", "1 in"]]; // prettier-ignore
const METRE_STEPS = [["one metre", "1 m"], ["one decimetre", "0.1 m"]]; // prettier-ignore
const STEPS: Record<string, string[][]> = {
  "ft-in": INCH_STEPS,
  inches: INCH_STEPS,
  tenths: FOOT_STEPS,
  metric: METRE_STEPS,
};

function* changes(bearing: Bearing): Generator<[Rational, string]> {
  for (const [words = "", text = ""] of STEPS[rodNamed(bearing.rod).division] ?? []) {
    yield [step(text), words];
    yield [negative(step(text)), words];
  }
  yield* inchesAndTenths(bearing);
}

/** 5.7 written for 5 ft 7 in on a rod in tenths, or 5' 7" read where 5.7 ft stood on the rod. */
function* inchesAndTenths({ rod, reading }: Bearing): Generator<[Rational, string]> {
  const { division } = rodNamed(rod);
  const tenths = /^\s*[0-9]+\.([0-9]{1,2})\s*$/.exec(reading)?.[1];
  if (division === "tenths" && tenths !== undefined) {
    const inches = Number(tenths);
    const wrong = minus(rational(inches, 12), fromDecimal(`0.${tenths}`));
    if (inches >= 1 && inches <= 11 && !tenths.startsWith("0"))
      yield [times(wrong, FOOT_M), `${inches} in written as tenths`];
  } else if (division === "ft-in") {
    const value = readingM(reading, rodNamed(rod));
    const feet = over(value, FOOT_M);
    const rest = times(minus(feet, rational(floor(feet))), rational(12));
    if (isWhole(rest) && rest.top >= 1n && rest.top <= 9n)
      yield [times(times(rest, minus(rational(1, 10), rational(1, 12))), FOOT_M), `${rest.top} tenths read as inches`];
  }
}

/** All single slips that bring the disagreement to within `near`, one a reading; all in metres as exact text. */
export function explain(gap: string, bearings: readonly Bearing[], near: string): Slip[] {
  const [all, enough] = [read(gap), read(near)];
  const found: Slip[] = [];
  bearings.forEach((bearing, index) => {
    let best: { left: Rational; slip: Slip } | null = null;
    for (const [change, words] of changes(bearing)) {
      const left = size(plus(all, times(rational(bearing.effect), change)));
      const tight = compare(left, enough) <= 0 && compare(size(change), times(rational(2), enough)) > 0;
      if (tight && (best === null || compare(left, best.left) < 0))
        best = { left, slip: { index, change: textOf(change), words } };
    }
    if (best !== null) found.push((best as { slip: Slip }).slip);
  });
  return found;
}
