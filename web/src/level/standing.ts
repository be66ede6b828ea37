// Standings of the instrument: heights from benchmark readings, and what a second look at them says.
import { instrumentNm, levelNm, metresText, nmOf } from "./nanometres.ts";
import { inOrder, type Read } from "./rows.ts";
import { explain, type Slip } from "./slips.ts";

const HAIR_NM = 10; // an eighth of an inch exactly is still within an eighth

/** One set-up with one kind of rod. A new height begins where the instrument has moved. */
export interface Standing {
  readonly id: string;
  readonly direct: boolean;
  readonly reads: Read[];
  height: number | null;
  anchor: Read | null;
  moved: boolean;
  closed: boolean;
  suspect: Read | null; // a benchmark reading that looks like a slip
}

/** How far a benchmark read again may differ, in metres: within `good` it agrees, beyond `bad` it has moved. */
export interface Bounds {
  readonly good: string;
  readonly bad: string;
}

export function standings(reads: readonly Read[]): Standing[] {
  const found = new Map<string, Read[]>();
  for (const read of reads) {
    const key = JSON.stringify([read.shot.setup, read.rod?.direct ?? false]);
    found.set(key, [...(found.get(key) ?? []), read]);
  }
  return [...found].map(([key, own]) => {
    const [id, direct] = JSON.parse(key) as [string, boolean];
    return { id, direct, reads: inOrder(own), height: null, anchor: null, moved: false, closed: false, suspect: null };
  });
}

/** Heights of all set-ups, those first that hang on a known mark; what they read on other marks carries on. */
export function standAll(stood: readonly Standing[], marks: ReadonlyMap<string, number>, bounds: Bounds): void {
  const known = new Map(marks);
  const waiting = [...stood];
  for (;;) {
    const index = waiting.findIndex((standing) => stand(standing, known, bounds));
    const [done] = index < 0 ? [] : waiting.splice(index, 1);
    if (done === undefined) return;
    for (const read of done.reads) {
      const doubted = read.asked.some(({ doubts }) => doubts) && !read.confirmed;
      if (read.mark !== null && read.level !== null && read.usable && !doubted && !known.has(read.mark))
        known.set(read.mark, read.level);
    }
  }
}

/** Gives a set-up its heights and every reading its level; false, and nothing done, where it reads no known mark. */
function stand(standing: Standing, known: ReadonlyMap<string, number>, bounds: Bounds): boolean {
  const marks = standing.reads.filter((read) => read.usable && read.mark !== null && known.has(read.mark));
  const [first] = marks;
  if (first === undefined) return false;
  let between: Read[] = [];
  anchor(standing, first, known);
  for (const read of standing.reads) {
    if (marks.includes(read)) {
      read.benchmark = true;
      if (read !== first) between = again(standing, read, between, { known, bounds });
    } else if (!read.benchmark) between.push(read);
    level(standing, read);
  }
  standing.closed = between.length === 0;
  return true;
}

const heightBy = (read: Read, known: ReadonlyMap<string, number>): number => {
  const mark = known.get(read.mark ?? "");
  if (mark === undefined || read.nm === null || read.rod === null) throw new RangeError("no reading on a known mark");
  return instrumentNm(mark, read.nm, read.rod);
};

function anchor(standing: Standing, read: Read, known: ReadonlyMap<string, number>): void {
  standing.height = heightBy(read, known);
  standing.anchor = read;
}

function level(standing: Standing, read: Read): void {
  if (read.nm !== null && read.rod !== null && standing.height !== null)
    read.level = levelNm(standing.height, read.nm, read.rod);
}

/** A benchmark read again; returns the readings that still wait for one that agrees. */
function again(
  standing: Standing,
  read: Read,
  between: Read[],
  { known, bounds }: { known: ReadonlyMap<string, number>; bounds: Bounds },
): Read[] {
  const [good, bad] = [nmOf(bounds.good) + HAIR_NM, nmOf(bounds.bad) + HAIR_NM];
  const gap = heightBy(read, known) - (standing.height ?? 0);
  if (Math.abs(gap) <= good) {
    standing.suspect = null;
    return [];
  }
  for (const each of between) each.unconfirmed = true;
  if (Math.abs(gap) <= bad) {
    read.ask("moved", { doubts: false });
    return [];
  }
  const suspect = standing.suspect;
  const agrees = suspect !== null && Math.abs(heightBy(suspect, known) - heightBy(read, known)) <= good;
  const slip = read.confirmed || agrees ? null : slipOf(read, gap, bounds.good);
  if (slip !== null) {
    standing.suspect = read;
    read.ask("foot", { words: slip.words });
    return between;
  }
  if (agrees) suspect.asked = suspect.asked.filter(({ code }) => code !== "foot");
  move(standing, read, known);
  return [];
}

/** From here on the instrument stands as this reading says; what was read since it began to is reduced anew. */
function move(standing: Standing, read: Read, known: ReadonlyMap<string, number>): void {
  const since = standing.suspect;
  anchor(standing, read, known);
  standing.moved = true;
  standing.suspect = null;
  read.ask("moved", { doubts: false });
  if (since === null) return;
  for (const each of standing.reads.slice(standing.reads.indexOf(since), standing.reads.indexOf(read))) {
    each.unconfirmed = false;
    level(standing, each);
  }
}

/** The slip of the hand that explains a level so far out, if one does. */
export function slipOf(read: Read, gap: number, near: string): Slip | null {
  if (read.rod === null || read.nm === null) return null;
  const sign = read.rod.direct ? 1 : -1;
  const rod = `${read.rod.direct ? "laser " : ""}${read.rod.division}`;
  const bearing = { rod, reading: read.shot.reading, effect: read.benchmark ? -sign : sign };
  return explain(metresText(gap), [bearing], near)[0] ?? null;
}
