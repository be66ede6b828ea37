// Rows of a day understood: rod, reading, path, surface, order, and what later rows say of them.
import type { Shot, ShotState, Surface } from "../api.ts";
import { Refusal } from "../exact/refusal.ts";
import { readingNm } from "./nanometres.ts";
import { rodNamed, type Rod } from "./rod.ts";

export type Code =
  | "reading" | "rod" | "foot" | "far" | "element" | "surface" | "benchmark" | "moved" | "across" | "duplicate"
  | "again" | "clock" | "time"; // prettier-ignore

/** Something to ask about a reading. While it doubts, the reading is kept but not built upon. */
export interface Asked {
  readonly code: Code;
  readonly doubts: boolean;
  readonly words: string; // the slip, the other rod, or the surfaces that are meant, where that helps
}

export interface Path {
  readonly collection: string;
  readonly id: string;
  readonly bare: string; // without the place on its part
  readonly whole: string;
}

const COLLECTIONS = new Set([
  "feature", "site", "marks", "books", "ponds", "streams", "reaches", "falls", "runs", "pumps", "rims", "laps",
  "penetrations", "intakes", "liners", "accesses", "footings", "paving", "buildings", "trees", "services", "points",
]); // prettier-ignore
const PATH = /^([a-z]+)\/([A-Za-z0-9_-]+)(?:\.([a-z_]+))?(?:@([a-z0-9_-]+))?$/;
const SURFACES: readonly Surface[] = ["mark", "ground", "dig", "liner", "bed", "stone top", "water"];
const STATES: readonly ShotState[] = ["kept", "doubted", "withdrawn"];

/** A reading while it is being reduced. */
export class Read {
  readonly shot: Shot;
  readonly number: number;
  readonly rod: Rod | null;
  readonly rodName: string;
  readonly path: Path | null;
  readonly surface: Surface | null;
  readonly when: number | null;
  readonly said: ShotState;
  nm: number | null = null;
  saidLater: ShotState | null = null;
  asked: Asked[] = [];
  level: number | null = null;
  unconfirmed = false;
  benchmark = false;

  constructor(shot: Shot, number: number) {
    this.shot = shot;
    this.number = number;
    [this.rodName, this.rod] = rodOf(shot.rod);
    this.path = pathOf(shot.path);
    const word = shot.surface.toLowerCase().replaceAll("_", " ").split(/\s+/).filter(Boolean).join(" ");
    this.surface = SURFACES.find((surface) => surface === word) ?? null;
    const when = Date.parse(shot.time);
    this.when = Number.isNaN(when) ? null : when;
    this.said = STATES.includes(shot.state) ? shot.state : "kept";
    if (this.rod === null) this.ask("rod");
    else this.nm = maybeNm(shot.reading, this.rod);
    if (this.rod !== null && this.nm === null) this.ask("reading");
  }

  ask(code: Code, { doubts = true, words = "" }: { doubts?: boolean; words?: string } = {}): void {
    this.asked.push({ code, doubts, words });
  }

  get state(): ShotState {
    return this.saidLater ?? this.said;
  }

  get usable(): boolean {
    return this.nm !== null && this.state === "kept";
  }

  /** A person was asked about it and said that it holds. */
  get confirmed(): boolean {
    return this.saidLater === "kept";
  }

  get spot(): string {
    return JSON.stringify([this.path?.whole ?? this.shot.path, this.surface]);
  }

  /** The id of the mark or free point that it reads as a mark, else null. */
  get mark(): string | null {
    const marks = this.path?.collection === "marks" || this.path?.collection === "points";
    return this.path !== null && marks && this.surface === "mark" ? this.path.id : null;
  }
}

/** Name and rod of a cell such as `laser tenths` or `r2/ft-in`. */
function rodOf(text: string): [string, Rod | null] {
  const stroke = text.lastIndexOf("/");
  try {
    return [stroke < 0 ? "" : text.slice(0, stroke).trim(), rodNamed(text.slice(stroke + 1))];
  } catch (error) {
    if (error instanceof Refusal) return ["", null];
    throw error;
  }
}

function pathOf(text: string): Path | null {
  const match = PATH.exec(text.trim());
  const [, collection = "", id = "", part, place] = match ?? [];
  if (match === null || !COLLECTIONS.has(collection)) return null;
  const bare = `${collection}/${id}${part ? `.${part}` : ""}`;
  return { collection, id, bare, whole: place ? `${bare}@${place}` : bare };
}

/** What the rod reads, or null where no such rod could. */
export function maybeNm(text: string, rod: Rod): number | null {
  try {
    return readingNm(text, rod);
  } catch (error) {
    if (error instanceof Refusal) return null;
    throw error;
  }
}

/** The readings in order, each uuid once, with what later rows say of them. */
export function understood(shots: readonly Shot[]): Read[] {
  const reads: Read[] = [];
  const byUuid = new Map<string, Read>();
  for (const shot of shots) {
    const target = shot.re ? byUuid.get(shot.re) : undefined;
    if (target && STATES.includes(shot.state)) target.saidLater = shot.reading ? "withdrawn" : shot.state;
    if (!shot.reading || byUuid.has(shot.uuid)) continue;
    const read = new Read(shot, reads.length);
    byUuid.set(shot.uuid, read);
    reads.push(read);
  }
  const last = new Map<string, number>();
  for (const read of reads) {
    if (read.when === null) {
      read.ask("time", { doubts: false });
      continue;
    }
    if (read.when < (last.get(read.shot.who) ?? -Infinity)) read.ask("clock", { doubts: false });
    last.set(read.shot.who, read.when);
  }
  return reads;
}

/** The readings of a set-up as they were taken: by time, or as they came where some clock cannot be trusted. */
export function inOrder(reads: readonly Read[]): Read[] {
  if (reads.some((read) => read.when === null || read.asked.some(({ code }) => code === "clock"))) return [...reads];
  return [...reads].sort((a, b) => (a.when ?? 0) - (b.when ?? 0) || a.number - b.number);
}
