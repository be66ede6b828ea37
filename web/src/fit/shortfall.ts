// Where nothing fits: what is short and by how much, and which wish, given up, would let it fit.
import { countArrangements, leastLeftOver } from "./counting.ts";
import { at, leastSteps, makeFrame, type Frame } from "./frame.ts";
import { MOST_DROPS, lastAdds, type FitProblem, type Kind, type Span } from "./problem.ts";

/** One thing to give up: drops fewer or more, a wish, a last fall lower, the least pitch. */
export interface GiveUp {
  readonly what: "fewer drops" | "more drops" | "wish" | "least last" | "least pitch";
  readonly index: number | null;
  readonly amount: number | null;
  readonly kind: Kind | null;
}

/** What fits once these are given up: the least height it needs, and what is to spare above that. */
export interface WouldFit {
  readonly give_up: readonly GiveUp[];
  readonly least_height: number;
  readonly to_spare: number;
}

type Eased = readonly [GiveUp, FitProblem];

const giveUp = (what: GiveUp["what"], more: Partial<GiveUp> = {}): GiveUp => ({
  what,
  index: null,
  amount: null,
  kind: null,
  ...more,
});

const needs = (problem: FitProblem, frame: Frame, number: number): number =>
  problem.height - at(frame.available, number) + leastSteps(frame, number) * problem.step;

const fits = (problem: FitProblem): boolean => countArrangements(makeFrame(problem)) > 0n;

/** The least height that any arrangement needs, in the problem's unit. */
export function leastHeight(problem: FitProblem, frame: Frame): number {
  return Math.min(...frame.numbers.map((number) => needs(problem, frame, number)));
}

/** By how much even the least that can be left over is more than is allowed, in the problem's unit. */
export function overBy(problem: FitProblem): number {
  const least = leastLeftOver(makeFrame({ ...problem, most_left: null }));
  return least === null || problem.most_left === null ? 0 : Math.max(0, least - problem.most_left);
}

/** Single wishes that let it fit once given up; pairs of them where no single one is enough. */
export function waysOut(problem: FitProblem): WouldFit[] {
  const single = thoseThatFit(singles(problem));
  return single.length > 0 ? single : thoseThatFit(pairs(problem));
}

function* singles(problem: FitProblem): Generator<Eased[]> {
  for (const ease of EASES) for (const eased of ease(problem)) yield [eased];
}

function* pairs(problem: FitProblem): Generator<Eased[]> {
  for (const [index, first] of EASES.entries())
    for (const one of first(problem))
      for (const then of EASES.slice(index))
        for (const two of then(one[1])) if (comesLater(one[0], two[0])) yield [one, two];
}

/** Of ways that differ in amounts alone, the first: amounts come smallest first. */
function thoseThatFit(ways: Iterable<Eased[]>): WouldFit[] {
  const found = new Map<string, WouldFit>();
  for (const way of ways) {
    const key = way.map(([{ what, index }]) => `${what} ${index}`).join(", ");
    const [, problem] = way.at(-1) as Eased;
    if (found.has(key) || !fits(problem)) continue;
    const least_height = leastHeight(problem, makeFrame(problem));
    found.set(key, { give_up: way.map(([part]) => part), least_height, to_spare: problem.height - least_height });
  }
  return [...found.values()];
}

/** Whether `two` belongs after `one`: each pair is looked at once; of two wishes the later stands first. */
function comesLater(one: GiveUp, two: GiveUp): boolean {
  return one.what === "wish" && two.what === "wish" ? (one.index ?? 0) > (two.index ?? 0) : one.what !== two.what;
}

/** One drop fewer, two, and so on. */
function* fewerDrops(problem: FitProblem): Generator<Eased> {
  const frame = makeFrame(problem);
  const [least, most] = problem.drops;
  for (let low = Math.min(least, frame.numbers[0] ?? least) - 1; low > frame.first; low--) {
    const eased: FitProblem = { ...problem, drops: [low, most] };
    yield [giveUp("fewer drops", { amount: least - low, kind: kindLost(problem, eased) }), eased];
  }
}

/** One drop more, two, and so on; only where too much would be left over. */
function* moreDrops(problem: FitProblem): Generator<Eased> {
  if (problem.most_left === null) return;
  const [least, most] = problem.drops;
  for (let high = most + 1; high <= Math.min(2 * most, MOST_DROPS); high++)
    yield [giveUp("more drops", { amount: high - most }), { ...problem, drops: [least, high] }];
}

function* oneWish(problem: FitProblem): Generator<Eased> {
  const { first } = makeFrame(problem);
  for (const [index, wish] of problem.wishes.entries())
    if (wish.at === "last" || wish.at > first)
      yield [giveUp("wish", { index }), { ...problem, wishes: problem.wishes.filter((_, i) => i !== index) }];
}

/** The last fall lowered by as little as lets it fit; failing that, to whatever its drop may be. */
function* lastLower(problem: FitProblem): Generator<Eased> {
  if (problem.least_last === 0) return;
  const lowest: FitProblem = { ...problem, least_last: 0 };
  const [step, adds] = [problem.step, lastAdds(problem)];
  const height = Math.ceil((problem.least_last - adds) / step) * step + adds;
  if (fits(lowest))
    for (let lower = height - step; lower > 0; lower -= step) {
      const eased: FitProblem = { ...problem, least_last: lower };
      if (!fits(eased)) continue;
      yield [giveUp("least last", { amount: problem.least_last - lower }), eased];
      return;
    }
  yield [giveUp("least last", { amount: problem.least_last }), lowest];
}

/** No least pitch any more, in beds that are not built. */
function* levelBeds(problem: FitProblem): Generator<Eased> {
  const level = ([low, high]: Span): Span => [Math.min(low, 0), Math.max(high, 0)];
  const maybe = (span: Span | null): Span | null => span && level(span);
  const eased: FitProblem = {
    ...problem,
    pitch: level(problem.pitch),
    grade: maybe(problem.grade),
    beds: problem.beds.map((bed) => ({ ...bed, pitch: maybe(bed.pitch) })),
  };
  const pitches = ({ pitch, grade, beds }: FitProblem): string => JSON.stringify([pitch, grade, beds]);
  if (pitches(eased) !== pitches(problem)) yield [giveUp("least pitch"), eased];
}

/** The kind of the drops that the eased problem's least arrangement has fewer of, if it is one kind. */
function kindLost(problem: FitProblem, eased: FitProblem): Kind | null {
  const [before, after] = [leastKinds(problem), leastKinds(eased)];
  const many = (kinds: Kind[], kind: Kind): number => kinds.filter((one) => one === kind).length;
  const lost = (["ripple", "fall"] as const).filter((kind) => many(before, kind) > many(after, kind));
  return lost.length === 1 ? (lost[0] ?? null) : null;
}

function leastKinds(problem: FitProblem): Kind[] {
  const frame = makeFrame(problem);
  const [first, ...rest] = frame.numbers;
  if (first === undefined) throw new RangeError("no drop may stand anywhere");
  const number = rest.reduce((a, b) => (needs(problem, frame, b) < needs(problem, frame, a) ? b : a), first);
  const windows = [at(frame.last, number)];
  for (let n = number - 1; n > frame.first; n--) windows.unshift(at(frame.inner, n));
  return windows.map((options) => options.reduce((a, b) => (b.low < a.low ? b : a)).kind);
}

const EASES = [fewerDrops, moreDrops, oneWish, lastLower, levelBeds];
