// A day's readings to levels, states and questions, as the service answers them: provisional until it has them.
// Nothing is refused, nothing dropped; what looks wrong is asked about.
import type { Shot, ShotState, Surface } from "../api.ts";
import { levelNm, nmOf } from "./nanometres.ts";
import { maybeNm, understood, type Asked, type Read } from "./rows.ts";
import { slipOf, standAll, standings, type Bounds, type Standing } from "./standing.ts";

export interface DayPlan {
  readonly marks: readonly { readonly id: string; readonly level_nm: number }[];
  readonly places: readonly { readonly path: string; readonly surface: Surface; readonly planned_nm: number | null }[];
  readonly benchmark: Bounds;
}

export interface DayShot {
  readonly uuid: string;
  readonly level_nm: number | null;
  readonly planned_nm: number | null;
  readonly state: ShotState | "unconfirmed";
  readonly asked: readonly Asked[];
}

export interface DaySetUp {
  readonly id: string;
  readonly rod: string;
  readonly height_nm: number;
  readonly benchmark: string;
  readonly closed: boolean; // a benchmark read after the last shot agrees
  readonly moved: boolean;
}

export interface Day {
  readonly setups: readonly DaySetUp[];
  readonly shots: readonly DayShot[];
}

const DIVISIONS = ["ft-in", "tenths", "metric", "inches"];
const TWICE_MS = 2 * 60_000; // the same reading within so long is the same reading sent twice
const SMALL_NM = nmOf("0.025"); // an inch off plan is a matter of building, not of reading
const LARGE_NM = nmOf("0.15");
const NEAR = "0.05"; // [m] how near to plan a foot put right must come
const LEAST_SLIP_NM = nmOf("0.09"); // a slip of an inch or a tenth cannot be told from work that is an inch out
/** These figures, by the names of the service's defaults: a test holds the two sides together. */
export const ASKING = {
  small_off_nm: SMALL_NM,
  large_off_nm: LARGE_NM,
  near_plan_nm: nmOf(NEAR),
  least_slip_nm: LEAST_SLIP_NM,
  twice_min: TWICE_MS / 60_000,
};
const STILL_TO_FILL: readonly (Surface | null)[] = ["ground", "water"]; // below plan while there is filling to do
const SET: readonly (Surface | null)[] = ["stone top", "bed", "liner", "mark"];

/** What was read, in order, with what it comes to. */
export function dayOf(shots: readonly Shot[], plan: DayPlan): Day {
  const reads = understood(shots);
  const places = new Places(plan);
  for (const read of reads) askOfPlaces(read, places);
  const stood = standings(reads);
  standAll(stood, places.marks, plan.benchmark);
  for (const standing of stood) askOfStanding(standing, places, plan.benchmark.bad);
  askOfRepeats(reads, nmOf(plan.benchmark.bad));
  askAcross(reads);
  return {
    setups: stood.flatMap(({ id, height, anchor, closed, moved }) =>
      height === null || anchor === null
        ? []
        : [{ id, rod: anchor.shot.rod, height_nm: height, benchmark: anchor.mark ?? "", closed, moved }],
    ),
    shots: reads.map((read) => ({
      uuid: read.shot.uuid,
      level_nm: read.level,
      planned_nm: places.planned(read),
      state: stateOf(read),
      asked: read.asked,
    })),
  };
}

class Places {
  readonly marks: ReadonlyMap<string, number>;
  private readonly surfaces = new Map<string, Surface[]>();
  private readonly levels = new Map<string, number | null>();

  constructor({ marks, places }: DayPlan) {
    this.marks = new Map(marks.map(({ id, level_nm }) => [id, level_nm]));
    for (const { path, surface, planned_nm } of places) {
      this.surfaces.set(path, [...(this.surfaces.get(path) ?? []), surface]);
      this.levels.set(`${path} ${surface}`, planned_nm);
    }
  }

  knows(read: Read): boolean {
    if (read.path === null) return false;
    if (read.path.collection === "points") return true;
    return read.path.collection === "marks" ? this.marks.has(read.path.id) : this.surfaces.has(read.path.bare);
  }

  surfacesAt(read: Read): readonly Surface[] | undefined {
    return this.surfaces.get(read.path?.bare ?? "");
  }

  planned(read: Read): number | null {
    const there = this.levels.get(`${read.path?.bare} ${read.surface}`) ?? null;
    if (there !== null) return there;
    return read.path?.collection === "marks" && read.mark !== null ? (this.marks.get(read.mark) ?? null) : null;
  }
}

/** Whether it was taken at something known, on a surface that this has. */
function askOfPlaces(read: Read, places: Places): void {
  const surfaces = places.surfacesAt(read);
  if (!places.knows(read)) read.ask("element");
  else if (read.surface === null || (surfaces && !surfaces.includes(read.surface)))
    read.ask("surface", { words: (surfaces ?? []).join(", ") });
}

function askOfStanding(standing: Standing, places: Places, bad: string): void {
  if (standing.height === null) {
    for (const read of standing.reads) read.ask("benchmark");
    return;
  }
  for (const read of standing.reads) {
    const { anchor } = standing;
    if (anchor === null || read === anchor || read.rod === null || read.benchmark) continue;
    const other = read.rod.division !== anchor.rod?.division || read.rodName !== anchor.rodName;
    if (other) read.ask("rod", { words: anchor.shot.rod });
  }
  for (const read of standing.reads) askOfPlan(read, standing.height, { planned: places.planned(read), bad });
}

/** Whether a slip, or another rod, would bring it to what was planned there. */
function askOfPlan(read: Read, height: number, { planned, bad }: { planned: number | null; bad: string }): void {
  if (planned === null || read.benchmark) return;
  if (read.level === null) {
    askOfOtherRod(read, height, planned);
    return;
  }
  const off = read.level - planned;
  if (Math.abs(off) <= SMALL_NM) return;
  const waits = (read.surface === "dig" && off > 0) || (STILL_TO_FILL.includes(read.surface) && off < 0);
  const slip = slipOf(read, off, bad) ?? (waits ? null : slipOf(read, off, NEAR));
  const large = slip !== null && (Math.abs(nmOf(slip.change)) >= LEAST_SLIP_NM || slip.words.includes("tenths"));
  if (large) read.ask("foot", { doubts: !waits, words: slip.words });
  else if (!waits && Math.abs(off) > LARGE_NM && !askOfOtherRod(read, height, planned)) read.ask("far");
}

/** Whether the same figures on another rod would be at plan; only usual rods stand in for each other. */
function askOfOtherRod(read: Read, height: number, planned: number): boolean {
  const direct = read.rod?.direct ?? false;
  for (const division of DIVISIONS) {
    if (division === read.rod?.division) continue;
    const rod = { division, direct };
    const nm = maybeNm(read.shot.reading, rod);
    if (nm === null || Math.abs(levelNm(height, nm, rod) - planned) > nmOf(NEAR)) continue;
    read.asked = read.asked.filter(({ code }) => code !== "reading");
    read.ask("rod", { words: division });
    return true;
  }
  return false;
}

/** The same reading sent twice, and a place read again that differs. */
function askOfRepeats(reads: readonly Read[], bad: number): void {
  const last = new Map<string, Read>();
  for (const read of reads) {
    if (read.state === "withdrawn") continue;
    const earlier = last.get(read.spot);
    last.set(read.spot, read);
    if (earlier === undefined || read.benchmark) continue;
    if (sameTwice(earlier, read)) read.ask("duplicate", { doubts: false });
    else if (earlier.level !== null && read.level !== null) {
      const doubted = [...earlier.asked, ...read.asked].some(({ doubts }) => doubts);
      if (SET.includes(read.surface) && Math.abs(read.level - earlier.level) > bad && !doubted)
        read.ask("again", { doubts: false });
    }
  }
}

function sameTwice(one: Read, two: Read): boolean {
  const told = ({ shot, nm }: Read): string => JSON.stringify([shot.setup, shot.who, nm, shot.reading]);
  if (told(one) !== told(two)) return false;
  return one.when === null || two.when === null || Math.abs(two.when - one.when) <= TWICE_MS;
}

/** A reading of a set-up that its reader had left: it stands only if the instrument was set up there again. */
function askAcross(reads: readonly Read[]): void {
  const now = new Map<string, string>();
  const left = new Map<string, Set<string>>();
  for (const read of reads) {
    const { who, setup } = read.shot;
    const gone = left.get(who) ?? new Set<string>();
    left.set(who, gone);
    if (read.benchmark) gone.delete(setup);
    if (gone.has(setup)) {
      read.ask("across", { words: now.get(who) ?? "" });
      continue;
    }
    const before = now.get(who);
    if (before !== undefined && before !== setup) gone.add(before);
    now.set(who, setup);
  }
}

function stateOf(read: Read): DayShot["state"] {
  if (read.state !== "kept") return read.state;
  const doubts = read.asked.filter((asked) => asked.doubts);
  if (doubts.some(({ code }) => code === "benchmark")) return "unconfirmed";
  if (doubts.length > 0 && (read.level === null || !read.confirmed)) return "doubted";
  return read.unconfirmed && !read.confirmed ? "unconfirmed" : "kept";
}
