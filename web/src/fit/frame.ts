// A problem laid out for counting and ranking: which drops may stand where, and what is left over after them.
// What must be walked is in whole marking steps; what is finer enters once, as the height that remains.
import { KINDS, lastAdds, type FitProblem, type Kind, type Span } from "./problem.ts";

/** Drops of one kind from `low` to `high` marking steps. */
export interface Window {
  readonly kind: Kind;
  readonly low: number;
  readonly high: number;
}

export interface Frame {
  readonly step: number;
  readonly pitchStep: number;
  readonly first: number; // drops that are built
  readonly numbers: readonly number[]; // numbers of drops for which every position has a drop that may stand there
  readonly inner: ReadonlyMap<number, readonly Window[]>;
  readonly last: ReadonlyMap<number, readonly Window[]>;
  readonly available: ReadonlyMap<number, number>; // height for new drops, with every bed at its least pitch
  readonly pitchSteps: ReadonlyMap<number, number>; // pitch steps that the beds can take above their least
  readonly mostLeft: number | null;
}

export const at = <V>(map: ReadonlyMap<number, V>, key: number): V => {
  const value = map.get(key);
  if (value === undefined) throw new RangeError(`nothing at ${key}`);
  return value;
};

const down = (value: number, step: number): number => Math.floor(value / step);
const up = (value: number, step: number): number => Math.ceil(value / step) + 0; // never -0
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** One more than the most marking steps that new drops can use up. */
export function sizeOf(frame: Frame): number {
  const sizes = frame.numbers.map((n) => at(frame.available, n)).filter((high) => high >= 0);
  return sizes.length === 0 ? 0 : Math.max(...sizes.map((high) => down(high, frame.step) + 1));
}

/** What is left over of `number` drops, by the steps that the new ones take; negative where they do not fit. */
export function leftOver(frame: Frame, number: number): number[] {
  const mostPitch = frame.pitchStep * at(frame.pitchSteps, number);
  return Array.from({ length: sizeOf(frame) }, (_, used) => {
    const spare = at(frame.available, number) - used * frame.step;
    if (spare < 0) return -1;
    const left = spare < mostPitch ? spare % frame.pitchStep : spare - mostPitch;
    return frame.mostLeft !== null && left > frame.mostLeft ? -1 : left;
  });
}

const leastOf = (windows: readonly Window[]): number => Math.min(...windows.map((w) => w.low));

/** The fewest marking steps that the new drops of `number` drops can take. */
export function leastSteps(frame: Frame, number: number): number {
  let least = leastOf(at(frame.last, number));
  for (let n = frame.first + 1; n < number; n++) least += leastOf(at(frame.inner, n));
  return least;
}

/** The problem laid out by position and by number of drops. */
export function makeFrame(problem: FitProblem): Frame {
  const first = problem.built.filter((part) => part.drop !== null).length;
  const positions = Array.from({ length: Math.max(0, problem.drops[1] - first) }, (_, i) => first + 1 + i);
  const inner = new Map(positions.map((n) => [n, windows(problem, n, false)]));
  const last = new Map(positions.map((n) => [n, windows(problem, n, true)]));
  const wished = Math.max(0, ...problem.wishes.flatMap((w) => (w.at === "last" ? [] : [w.at])));
  const built = sum(problem.built.map((part) => part.drop ?? 0));
  const pitches = pitchSpans(problem, problem.drops[1]);
  const numbers: number[] = [];
  let openSoFar = true;
  for (const n of positions) {
    if (openSoFar && at(last, n).length > 0 && n >= Math.max(problem.drops[0], wished)) numbers.push(n);
    openSoFar = openSoFar && at(inner, n).length > 0;
  }
  const over = (n: number, of: (span: Span) => number): number => sum(pitches.slice(0, n).map(of));
  return {
    step: problem.step,
    pitchStep: problem.pitch_step,
    first,
    numbers,
    inner,
    last,
    available: new Map(positions.map((n) => [n, problem.height - built - over(n, ([low]) => low)])),
    pitchSteps: new Map(positions.map((n) => [n, over(n, ([low, high]) => down(high - low, problem.pitch_step))])),
    mostLeft: problem.most_left,
  };
}

/** The pitch that each of the first `number` beds may have, ends on the pitch step; low above high: none may. */
export function pitchSpans(problem: FitProblem, number: number): Span[] {
  return Array.from({ length: number }, (_, index) => pitchSpan(problem, index));
}

function pitchSpan(problem: FitProblem, index: number): Span {
  const built = problem.built[index];
  if (built) return [built.pitch, built.pitch];
  const bed = problem.beds[index];
  let [low, high] = problem.pitch;
  if (bed?.pitch) [low, high] = bed.pitch;
  else if (bed && bed.length !== null && problem.grade) {
    low = up(bed.length * problem.grade[0], 1000);
    high = down(bed.length * problem.grade[1], 1000);
  }
  if (low === high) return [low, high]; // a pitch that is given exactly need not lie on the step
  return [up(low, problem.pitch_step) * problem.pitch_step, down(high, problem.pitch_step) * problem.pitch_step];
}

/** What may stand at a position. A drop's kind goes by its height: for the last one, that is its height as seen. */
function windows(problem: FitProblem, position: number, isLast: boolean): Window[] {
  const wishes = problem.wishes.filter((w) => w.at === position || (isLast && w.at === "last"));
  const adds = isLast ? lastAdds(problem) : 0;
  const spans = wishes.flatMap((w) => (w.drop ? [w.drop] : []));
  const least = isLast ? problem.least_last - adds : 1;
  return KINDS.flatMap((kind) => {
    if (wishes.some((w) => w.kind !== null && w.kind !== kind)) return [];
    const [from, to] = kind === "ripple" ? problem.ripple : problem.fall;
    const low = Math.max(up(Math.max(from - adds, least, ...spans.map(([a]) => a)), problem.step), 1);
    const high = down(Math.min(to - adds, ...spans.map(([, b]) => b)), problem.step);
    return low <= high ? [{ kind, low, high }] : [];
  });
}
