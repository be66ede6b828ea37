// Refuses a problem that cannot be asked, with every reason at once; what merely does not fit is an answer.
import { makeFrame, pitchSpans } from "./frame.ts";
import { MOST_DROPS, type FitProblem, type Span } from "./problem.ts";
import { FitRefusal, type FitFault } from "./reading.ts";

const MOST_STEPS = 4000; // marking steps in the height: some 166 ft, or 40 m
const UNUSABLE = "cannot be used";

/** The problem itself, if it can be asked; throws FitRefusal with each field that cannot be used. */
export function checked(problem: FitProblem): FitProblem {
  const found = [...plain(problem), ...spans(problem), ...beds(problem), ...built(problem), ...wishes(problem)];
  if (found.length === 0) found.push(...pitchSteps(problem), ...noDrop(problem));
  if (found.length > 0) throw new FitRefusal(found);
  return problem;
}

const wrong = (field: string, allowed: string): FitFault => ({ message: UNUSABLE, field, allowed });

function* plain(problem: FitProblem): Generator<FitFault> {
  for (const name of ["step", "pitch_step"] as const) if (problem[name] < 1) yield wrong(name, "1 or more");
  for (const name of ["least_last", "spill_stone", "running_below_held", "lively_fall", "most_left"] as const)
    if ((problem[name] ?? 0) < 0) yield wrong(name, "0 or more");
  const most = MOST_STEPS * Math.max(problem.step, 1);
  if (Math.abs(problem.height) > most) yield wrong("height", `${-most} to ${most}, that is ${MOST_STEPS} marking steps`);
}

const backward = (span: Span | null): boolean => span !== null && span[0] > span[1];

function* spans(problem: FitProblem): Generator<FitFault> {
  for (const name of ["pitch", "grade", "ripple", "fall", "drops"] as const)
    if (backward(problem[name])) yield wrong(name, "[low, high] with low not above high");
  const most = MOST_STEPS * Math.max(problem.step, 1);
  for (const name of ["ripple", "fall"] as const)
    if (problem[name][0] < 1 || problem[name][1] > most) yield wrong(name, `between 1 and ${most}`);
  if (problem.drops[0] < 1 || problem.drops[1] > MOST_DROPS) yield wrong("drops", `between 1 and ${MOST_DROPS}`);
}

function* beds(problem: FitProblem): Generator<FitFault> {
  for (const [index, bed] of problem.beds.entries()) {
    if (bed.length !== null && bed.length < 1) yield wrong(`beds[${index}].length`, "1 or more");
    if (backward(bed.pitch)) yield wrong(`beds[${index}].pitch`, "[low, high] with low not above high");
  }
}

function* built(problem: FitProblem): Generator<FitFault> {
  for (const [index, { drop }] of problem.built.entries()) {
    const field = `built[${index}].drop`;
    if (drop !== null && drop < 1) yield wrong(field, "1 or more");
    if (drop === null && index < problem.built.length - 1) yield wrong(field, "its drop, since a bed below it is built");
  }
  const made = problem.built.filter(({ drop }) => drop !== null).length;
  if (made >= problem.drops[1] || problem.built.length > problem.drops[1])
    yield wrong("built", `fewer drops than ${problem.drops[1]}, so that the last is still to be made`);
}

function* wishes(problem: FitProblem): Generator<FitFault> {
  for (const [index, wish] of problem.wishes.entries()) {
    const field = `wishes[${index}]`;
    if (wish.at !== "last" && (wish.at < 1 || wish.at > problem.drops[1]))
      yield wrong(`${field}.at`, `1 to ${problem.drops[1]} | last`);
    if (wish.drop !== null && (wish.drop[0] < 1 || backward(wish.drop)))
      yield wrong(`${field}.drop`, "[low, high] of 1 or more, low not above high");
    if (wish.drop === null && wish.kind === null) yield wrong(field, "a drop, a kind, or both");
  }
}

function* pitchSteps(problem: FitProblem): Generator<FitFault> {
  for (const [index, span] of pitchSpans(problem, problem.drops[1]).entries()) {
    if (!backward(span)) continue;
    const bed = problem.beds[index];
    const own = bed !== undefined && (bed.pitch !== null || problem.grade !== null);
    yield wrong(own ? `beds[${index}].pitch` : "pitch", `a span that holds a multiple of pitch_step ${problem.pitch_step}`);
    if (!own) return;
  }
}

/** Where no drop of any size may stand, at any number of drops, the question contradicts itself. */
function* noDrop(problem: FitProblem): Generator<FitFault> {
  const open = (change: Partial<FitProblem>): boolean => makeFrame({ ...problem, ...change }).numbers.length > 0;
  if (open({})) return;
  const pair = (span: Span): string => `[${span.join(", ")}]`;
  const seen = `ripples ${pair(problem.ripple)}, falls ${pair(problem.fall)}, in steps of ${problem.step}`;
  if (!open({ least_last: 0, wishes: [], drops: [1, problem.drops[1]] })) {
    yield wrong("step", `one with a multiple among ${seen}`);
    return;
  }
  const single = problem.wishes.flatMap((wish, index) =>
    open({ least_last: 0, wishes: [wish] }) ? [] : [wrong(`wishes[${index}]`, `a multiple of the step among ${seen}`)],
  );
  if (problem.least_last && !open({ wishes: [] }))
    single.push(wrong("least_last", `at most what the last drop reaches: ${seen}`));
  if (single.length > 0) yield* single;
  else yield wrong("wishes", "wishes (with least_last) that can be met together");
}
