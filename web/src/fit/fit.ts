// From the problem to the answer: which arrangements fit, how many, and the best of them in order.
import { checked } from "./checking.ts";
import { countArrangements } from "./counting.ts";
import { makeFrame, pitchSpans, type Frame } from "./frame.ts";
import { COST_NAMES, dropTerms, leftTerms } from "./preference.ts";
import { lastAdds, problemFrom, type FitProblem, type Kind, type Span, type Unit } from "./problem.ts";
import { bestSequences } from "./ranking.ts";
import { FitRefusal } from "./reading.ts";
import { leastHeight, overBy, waysOut, type WouldFit } from "./shortfall.ts";

const MOST_BEST = 1000;

/** One staircase from the head down: bed i pitches `pitches[i]`, then comes `drops[i]`. Least cost is best. */
export interface Arrangement {
  readonly drops: readonly { kind: Kind; drop: number; height_seen: number }[];
  readonly pitches: readonly number[];
  readonly left_over: number;
  readonly last_height: number;
  readonly cost: readonly number[];
}

/** The exact count (decimal text, for it may pass what a number holds) and the best; or what is short or over. */
export interface FitResult {
  readonly unit: Unit;
  readonly count: string;
  readonly arrangements: readonly Arrangement[];
  readonly cost_names: readonly string[];
  readonly least_height: number;
  readonly short_by: number;
  readonly over_by: number;
  readonly would_fit: readonly WouldFit[];
}

/** The answer to a problem as JSON states it. Throws FitRefusal where it cannot be asked. */
export function fit(asked: unknown, best = 20): FitResult {
  if (!Number.isInteger(best) || best < 0 || best > MOST_BEST)
    throw new FitRefusal([{ message: "cannot be used", field: "best", allowed: `0 to ${MOST_BEST}` }]);
  const problem = checked(problemFrom(asked));
  const frame = makeFrame(problem);
  const count = countArrangements(frame);
  const need = leastHeight(problem, frame);
  return {
    unit: problem.unit,
    count: String(count),
    arrangements: count > 0n ? arrangements(problem, frame, best) : [],
    cost_names: COST_NAMES[problem.character],
    least_height: need,
    short_by: Math.max(0, need - problem.height),
    over_by: count > 0n || need > problem.height ? 0 : overBy(problem),
    would_fit: count > 0n ? [] : waysOut(problem),
  };
}

type Made = readonly [kind: Kind, drop: number];
const total = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

function arrangements(problem: FitProblem, frame: Frame, best: number): Arrangement[] {
  const built = problem.built.flatMap(({ drop }): Made[] =>
    drop === null ? [] : [[drop <= problem.ripple[1] ? "ripple" : "fall", drop]],
  );
  return bestSequences(problem, frame, best).map((sequence) => {
    const drops = [...built, ...sequence.map(([kind, steps]): Made => [kind, steps * problem.step])];
    const height = problem.height - total(drops.map(([, drop]) => drop));
    return arrangement(problem, drops, sharedPitches(pitchSpans(problem, drops.length), height, problem.pitch_step));
  });
}

function arrangement(problem: FitProblem, drops: readonly Made[], pitches: readonly number[]): Arrangement {
  const left = problem.height - total(drops.map(([, drop]) => drop)) - total(pitches);
  const end = drops.length - 1;
  const terms = drops.map(([kind, drop], i) => dropTerms(problem, kind, drop, i === end));
  const cost = [...terms, leftTerms(problem, left)].reduce((sums, term) => sums.map((sum, i) => sum + (term[i] ?? 0)));
  const seen = drops.map(([kind, drop], i) => ({
    kind,
    drop,
    // The pool below a fall stands at the next crest, unless its bed falls by more than the spill stone is thick.
    height_seen: drop + (i === end ? lastAdds(problem) : Math.min(problem.spill_stone, pitches[i + 1] ?? 0)),
  }));
  return { drops: seen, pitches, left_over: left, last_height: seen[end]?.height_seen ?? 0, cost };
}

/** Every bed at its least pitch, then step by step to the bed that pitches least, the one nearest the head first. */
function sharedPitches(spans: readonly Span[], height: number, pitchStep: number): number[] {
  const pitches = spans.map(([low]) => low);
  const top = (index: number): number => spans[index]?.[1] ?? 0;
  const pitch = (index: number): number => pitches[index] ?? 0;
  let room = [...spans.keys()].filter((index) => pitch(index) + pitchStep <= top(index));
  let spare = height - total(pitches);
  while (room.length > 0 && spare >= pitchStep) {
    const index = room.reduce((a, b) => (pitch(b) < pitch(a) ? b : a));
    pitches[index] = pitch(index) + pitchStep;
    spare -= pitchStep;
    if (pitch(index) + pitchStep > top(index)) room = room.filter((one) => one !== index);
  }
  return pitches;
}
