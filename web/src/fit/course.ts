// A stream's course: what was built of it takes the plan's place, and the question of what fits is put anew. The twin of
// what the service does with a reading; lengths are metres as both sides have them, in the same sums, in the same order.
import { standardProblem, type Bed, type Built, type FitProblem, type Unit } from "./problem.ts";

export interface CourseReach {
  readonly id: string;
  readonly start_m: number;
  readonly end_m: number;
  readonly pitched: boolean; // the file gives its pitch
}

export interface CourseFall {
  readonly id: string;
  readonly crest_m: number;
  readonly stone_m: number;
  readonly built: boolean;
}

/** Beds and falls in turn from the head; `held_m` is the held water, `last_drop_m` what the last fall takes. */
export interface Course {
  readonly stream: string;
  readonly name: string;
  readonly held_m: number;
  readonly last_drop_m: number;
  readonly problem: FitProblem;
  readonly reaches: readonly CourseReach[];
  readonly falls: readonly CourseFall[];
}

/** A level read on built work, by its path and surface. */
export interface BuiltLevel {
  readonly path: string;
  readonly surface: string;
  readonly level_nm: number;
}

const PER_M: Record<Unit, number> = { "1/16 in": 16 / 0.0254, "1 mm": 1000 };

/** A length in metres in whole units, a half to the even one. */
export function counted(length: number, unit: Unit): number {
  const exact = length * PER_M[unit];
  const near = Math.round(exact);
  return (Math.abs(exact - Math.trunc(exact)) === 0.5 ? 2 * Math.round(exact / 2) : near) + 0; // never -0
}

/** The height there is, and what falls and beds leave of it; below nothing what they are too high by. */
export function budget({ reaches, held_m, last_drop_m }: Course): { height: number; left: number } {
  const [first, last] = [reaches[0], reaches.at(-1)];
  if (!first || !last) throw new RangeError("a stream without a bed");
  return { height: first.start_m - held_m, left: last.end_m - held_m - last_drop_m };
}

/** The course with levels as built in the place of planned ones; of several at one place the last counts. */
export function withBuilt(course: Course, built: readonly BuiltLevel[]): Course {
  const at = new Map<string, { end: string; m: number }[]>();
  for (const { path, surface, level_nm } of built) {
    const [bare = "", end = ""] = path.trim().split("@");
    const key = `${bare} ${surface}`;
    at.set(key, [...(at.get(key) ?? []), { end, m: level_nm / 1e9 }]);
  }
  const last = (key: string): number | undefined => at.get(key)?.at(-1)?.m;
  const reaches = course.reaches.map((reach) => ({
    ...reach,
    start_m: last(`reaches/${reach.id}.start bed`) ?? reach.start_m,
    end_m: last(`reaches/${reach.id}.end bed`) ?? reach.end_m,
  }));
  const falls = course.falls.map((fall) => {
    const crest = crestOf(at.get(`falls/${fall.id}.crest stone top`) ?? []);
    return crest === null ? fall : { ...fall, crest_m: crest, built: true };
  });
  return { ...course, reaches, falls, problem: problemOf({ ...course, reaches, falls }) };
}

/** Both ends of a stone read since it was set give its level, their mean; else the last reading does. */
function crestOf(read: readonly { end: string; m: number }[]): number | null {
  const ends = new Map<string, number>();
  for (const { end, m } of read) {
    if (end === "left" || end === "right") ends.set(end, m);
    else ends.clear();
  }
  const [left, right, last] = [ends.get("left"), ends.get("right"), read.at(-1)];
  if (last === undefined) return null;
  const both = last.end !== "" && left !== undefined && right !== undefined;
  return both ? 0.5 * (left + right) : last.m;
}

/** The question as it stands: its height, what is built, the pitches that the file gives; the rest is the plan's. */
function problemOf(course: Course): FitProblem {
  const { problem, reaches, falls } = course;
  const { unit } = problem;
  const pitches = reaches.map(({ pitched, start_m, end_m }) => (pitched ? counted(start_m - end_m, unit) : null));
  const built = builtOf(course);
  const many = Math.max(falls.length, built.length + 1);
  return {
    ...problem,
    height: counted(budget(course).height, unit),
    pitch_step: pitches.reduce<number>((step, pitch) => (pitch === null ? step : common(step, pitch)), standardProblem(unit, 0).pitch_step),
    beds: problem.beds.map(({ length }, index): Bed => {
      const pitch = pitches[index] ?? null;
      return { length, pitch: pitch === null ? null : [pitch, pitch] };
    }),
    built,
    drops: [many, many],
  };
}

function common(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b];
  return Math.abs(a);
}

/** Drops whose crest and whose next crest are built, from the head down as far as that goes. */
function builtOf({ reaches, falls, problem }: Course): Built[] {
  const found: Built[] = [];
  for (const [index, fall] of falls.slice(0, -1).entries()) {
    const [next, bed, below] = [falls[index + 1], reaches[index], reaches[index + 1]];
    if (!next || !bed || !below || !fall.built || !next.built) break;
    const drop = fall.crest_m - fall.stone_m - (next.crest_m - next.stone_m);
    const pitch = (each: CourseReach): number => each.start_m - each.end_m;
    found.push({ pitch: counted(pitch(bed), problem.unit), drop: counted(drop - pitch(below), problem.unit) });
  }
  return found;
}

/** Everything down to the last bed as it stands, and one drop more that is to be a ripple; null where that is no question. */
export function oneMore({ reaches, falls, held_m, problem }: Course): FitProblem | null {
  if (reaches.length === 0 || falls.length !== reaches.length) return null;
  const starts = reaches.map(({ start_m }) => counted(start_m - held_m, problem.unit));
  const ends = reaches.map(({ end_m }) => counted(end_m - held_m, problem.unit));
  const drops = ends.map((end, index) => (index + 1 < starts.length ? end - (starts[index + 1] ?? 0) : null));
  if (drops.some((drop) => drop !== null && drop < 1)) return null;
  const many = reaches.length + 1;
  return {
    ...problem,
    height: starts[0] ?? 0,
    built: starts.map((start, index) => ({ pitch: start - (ends[index] ?? 0), drop: drops[index] ?? null })),
    beds: [],
    drops: [many, many],
    wishes: [{ at: many - 1, kind: "ripple", drop: null }],
    pitch: [0, 0],
    most_left: null,
  };
}
