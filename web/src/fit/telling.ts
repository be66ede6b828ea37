// What still fits after a reading, in the words of the service: height left, arrangements of falls, one ripple more.
import { INCH_M } from "../exact/length.ts";
import { rational, times, type Rational } from "../exact/rational.ts";
import { EIGHTH, feetInches, fixed } from "../exact/show.ts";
import { budget, counted, oneMore, type Course } from "./course.ts";
import { fit, type FitResult } from "./fit.ts";
import type { FitProblem, Unit } from "./problem.ts";
import { FitRefusal } from "./reading.ts";

/** The smallest change that is told, and of the last fall what is wanted and what must remain; all metres. */
export interface Figures {
  readonly least_m: number;
  readonly last_m: readonly [wanted: number, least: number];
}

type Way = "worse" | "changed" | "better";
interface Told {
  readonly way: Way;
  readonly text: string;
  readonly ill: boolean;
}

const MANY = 1_000_000n;
const HAIR = 1e-9;
const WAYS: readonly Way[] = ["worse", "changed", "better"];

/** Sentences of what changed from one state of a stream to another, worst first; none where nothing did. */
export function whatFits(before: Course, after: Course, figures: Figures): string[] {
  const told = [...height(before, after, figures), ...count(before, after, figures), ...ripple(before, after, figures)];
  const rank = ({ ill, way }: Told): number => (ill ? 0 : WAYS.length) + WAYS.indexOf(way);
  return told.sort((a, b) => rank(a) - rank(b)).map(({ text }) => text.slice(0, 1).toUpperCase() + text.slice(1));
}

const tells = (before: number, after: number, { least_m }: Figures): boolean => Math.abs(after - before) >= least_m - HAIR;
const more = (before: number | bigint, after: number | bigint): Way => (after > before ? "better" : "worse");

function* height(before: Course, after: Course, figures: Figures): Generator<Told> {
  const [was, is, { unit }] = [budget(before), budget(after), after.problem];
  const moved = tells(was.height, is.height, figures);
  if (!moved && !tells(was.left, is.left, figures)) return;
  const head = moved ? `is ${metres(is.height, unit)}, it was ${metres(was.height, unit)}` : `is still ${metres(is.height, unit)}`;
  const way = moved ? more(was.height, is.height) : "changed";
  const rest =
    is.left > 0.0005
      ? `falls and beds leave ${metres(is.left, unit)} of it over`
      : is.left < -0.0005
        ? `falls and beds are ${metres(-is.left, unit)} too high for it`
        : "falls and beds take up all of it";
  yield { way, ill: way === "worse", text: `The height there is in ${after.name} ${head}; ${rest}.` };
}

/** The answer, or null where the question contradicts itself. */
function answered(problem: FitProblem): FitResult | null {
  try {
    return fit(problem, 3);
  } catch (error) {
    if (error instanceof FitRefusal) return null;
    throw error;
  }
}

function* count(before: Course, after: Course, figures: Figures): Generator<Told> {
  const [was, is] = [before.problem, after.problem];
  if (same(was, is)) return;
  const [old, now] = [answered(was), answered(is)];
  if (old === null || now === null || old.count === now.count) return;
  const [once, many] = [BigInt(old.count), BigInt(now.count)];
  const unmoved = alike(was, is, figures) && same([was.built, was.drops], [is.built, is.drops]);
  if (unmoved && many > 0n && once > 0n) return;
  const did = `fit ${after.name} now, ${number(once)} did before`;
  const short = now.short_by > 0 ? `: ${units(now.short_by, is.unit)} are short.` : ".";
  const text =
    many === 0n
      ? `No arrangement of ${is.drops[1]} drops fits ${after.name} now, ${number(once)} did before${short}`
      : `${number(many)} arrangements of ${is.drops[1]} drops ${did}. The best of them: ${best(now)}.`;
  yield { way: more(once, many), ill: many === 0n, text };
}

const same = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other);

/** Whether what the beds of a given pitch leave for drops is told apart by nobody. */
function alike(was: FitProblem, is: FitProblem, figures: Figures): boolean {
  const perM = is.unit === "1/16 in" ? 16 / 0.0254 : 1000;
  const rest = ({ height, beds }: FitProblem): number => beds.reduce((left, { pitch }) => left - (pitch?.[0] ?? 0), height) / perM;
  return !tells(rest(was), rest(is), figures);
}

const number = (many: bigint): string => (many === 0n ? "none" : many < MANY ? many.toLocaleString("en") : "more than a million");

/** The best arrangement from the head down; of like drops in a row how many there are. */
function best({ arrangements, unit }: FitResult): string {
  const runs: { kind: string; drop: number; many: number }[] = [];
  for (const { kind, drop } of arrangements[0]?.drops ?? []) {
    const last = runs.at(-1);
    if (last?.kind === kind && last.drop === drop) last.many += 1;
    else runs.push({ kind, drop, many: 1 });
  }
  return runs.map(({ kind, drop, many }) => (many === 1 ? `${kind} ${units(drop, unit)}` : `${many} ${kind}s of ${units(drop, unit)}`)).join(", ");
}

interface Room {
  readonly rank: number; // what is wanted remains for the last fall, or the least that must
  readonly ripple: number;
  readonly last: number;
}

function* ripple(before: Course, after: Course, figures: Figures): Generator<Told> {
  const over = ({ reaches, held_m }: Course): number => (reaches.at(-1)?.end_m ?? held_m) - held_m;
  const { unit } = after.problem;
  if (!tells(over(before), over(after), figures)) return;
  const [was, is] = [roomFor(before, figures), roomFor(after, figures)];
  if ((was?.rank ?? 0) === (is?.rank ?? 0)) return;
  const stands = `The last bed of ${after.name} stands ${metres(over(after), unit)} over the held water, it stood at ${metres(over(before), unit)}`;
  if (is !== null && is.rank > (was?.rank ?? 0))
    yield {
      way: "better",
      ill: false,
      text: `${stands}: a ${units(is.ripple, unit)} ripple more would fit above the last fall, which keeps ${units(is.last, unit)}.`,
    };
  else if (was !== null)
    yield {
      way: "worse",
      ill: false,
      text: `${stands}: the ${units(was.ripple, unit)} ripple more that would have fitted above the last fall does not fit as well any more.`,
    };
}

function roomFor(course: Course, { last_m }: Figures): Room | null {
  const problem = oneMore(course);
  if (problem === null) return null;
  for (const [index, least] of last_m.entries()) {
    const found = answered({ ...problem, least_last: counted(least, problem.unit) })?.arrangements[0];
    if (found) return { rank: 2 - index, ripple: found.drops.at(-2)?.drop ?? 0, last: found.last_height };
  }
  return null;
}

/** A length in metres, to the eighth of an inch, or in whole millimetres below a metre. */
const metres = (length: number, unit: Unit): string => shown(rational(BigInt(Math.round(length * 1e9)), 1_000_000_000n), unit);

/** Whole units as a length. */
const units = (many: number, unit: Unit): string =>
  shown(unit === "1/16 in" ? times(INCH_M, rational(many, 16)) : rational(many, 1000), unit);

function shown(m: Rational, unit: Unit): string {
  if (unit === "1/16 in") return feetInches(m, EIGHTH);
  const millimetres = fixed(times(m, rational(1000)), 0);
  return Math.abs(Number(millimetres)) < 1000 ? `${millimetres} mm` : `${fixed(m, 2)} m`;
}
