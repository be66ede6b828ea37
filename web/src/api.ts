// What the screens ask of the service and what it answers. Names and units are those of `check --json`: metres and other
// SI, the unit in the name; `x_low` and `x_high` beside `x` where it has a band. Every path stands under `/api`. A paired
// device sends its token with every request, as `authorization: Bearer TOKEN`; 401 says that it is not paired any more.
import type { Course } from "./fit/course.ts";
import type { Arrangement, FitResult } from "./fit/fit.ts";
import type { FitProblem } from "./fit/problem.ts";
import type { Bounds } from "./level/standing.ts";

export const FORMAT = 1; // of what is sent and answered here; the service refuses a newer one, in words

/** Why something could not be used. Every answer that is no 2xx is `{ problems }`, with all of them at once. */
export interface Problem {
  readonly message: string;
  readonly file: string;
  readonly line: number | null;
  readonly column: number | null;
  readonly field: string;
  readonly words?: string; // what people call the field, where that is known
  readonly found: string;
  readonly allowed: string;
}

export interface Refused {
  readonly problems: readonly Problem[];
}

/** GET hello */
export interface Hello {
  readonly format: number;
  readonly engine: string;
  readonly who: string; // whose token this is; empty on the machine itself
  readonly jobs: readonly JobRef[];
}

export interface JobRef {
  readonly id: string;
  readonly name: string;
  readonly units: "us" | "metric";
}

/** GET jobs: JobRef[], as in Hello. */

/**
 * POST pair, without a token, with the code that stands behind `#pair=` in the address that was scanned; 403 where that is
 * not good any more. Take the code out of the address once it was used (`history.replaceState`).
 */
export interface PairAsked {
  readonly code: string;
  readonly name: string; // what the device is to be called; another one of that name makes it `name 2`
}

export interface Paired {
  readonly token: string; // told once
  readonly who: string;
}

// The visit

/** GET visit/questions?units=us|metric. A photo is not among them: it is sent by itself, once the visit is kept as a job. */
export interface Question {
  readonly key: string;
  readonly words: string;
  readonly kind: "reading" | "length" | "look" | "machine" | "soil" | "way of holding" | "yes or no" | "own machine" | "photo" | "notes";
  readonly taken: string | null; // what is taken without an answer; null: it must be answered
  readonly hint: string;
  readonly words_allowed: readonly string[];
  readonly optional: boolean;
  readonly number: number | null; // which of the nine it is, or a part of
}

/**
 * POST visit, and POST jobs to keep it as a job (answered by JobRef, 201); both take what was typed. Beside the questions'
 * keys there are `name`, `units` (us, metric) and `rod` (ft-in, tenths, inches, metric).
 */
export interface VisitAsked {
  readonly answers: Readonly<Record<string, string>>;
}

/** POST visit/page.pdf with the same: the one page for the client; nothing is kept. */

/**
 * The page as far as the answers reach; `missing` are the keys that it still needs. An answer that cannot be used is left
 * out and told in `problems`; what is taken in its place is in `taken`.
 */
export interface VisitAnswer {
  readonly problems: readonly Problem[]; // `field` is the key of the answer
  readonly missing: readonly string[];
  readonly judged: Judged | null;
  readonly key_numbers: readonly KeyNumber[];
  readonly staircase: string;
  readonly picture_svg: string | null;
  readonly plan_svg: string | null;
  readonly notes: readonly string[];
  readonly taken: readonly { readonly words: string; readonly value: string; readonly field: string }[];
}

/**
 * POST jobs/{job}/photos with a picture as it is (JPEG, PNG, WebP, HEIC by its first bytes; 413 above 20 MB), and GET
 * jobs/{job}/photos: all photos of the job. GET jobs/{job}/photos/{name} answers one of them.
 */
export interface PhotoKept {
  readonly name: string; // its SHA-256 and its ending
  readonly size: number; // bytes
  readonly media_type: string;
  readonly shown: boolean; // whether browsers show that kind
}

export interface KeyNumber {
  readonly label: string;
  readonly value: string;
  readonly note: string;
}

// The job

export type Severity = "stop" | "watch" | "ok";

export interface Finding {
  readonly code: string;
  readonly severity: Severity;
  readonly element: string; // path, as falls/f3.crest
  readonly title: string;
  readonly value: number | null;
  readonly value_low: number | null;
  readonly value_high: number | null;
  readonly limit: number | null;
  readonly limit_low: number | null;
  readonly limit_high: number | null;
  readonly margin: number | null;
  readonly unit: string;
  readonly limit_origin: string;
  readonly source: string;
  readonly text: string;
  readonly text_numbers: readonly NumberAt[];
  readonly remedy: string;
  readonly remedy_numbers: readonly NumberAt[];
  readonly parameters: readonly { readonly name: string; readonly value: number | string | null; readonly unit: string }[];
  readonly people: boolean;
  readonly standing: "" | "always" | "unchecked" | "outside"; // a caution that always holds; what was not checked, or beyond what was measured
}

/** Where a number stands in a sentence: from the letter, up to the letter, and the name of its parameter. */
export type NumberAt = readonly [number, number, string];

/** Findings that say the same of several elements: `finding` is the place of the worst among the findings. */
export interface Matter {
  readonly finding: number;
  readonly elements: readonly string[];
  readonly likewise: string; // a sentence that names the others
}

/** What `check --json` prints. Branches are objects by field name, or say why they were not run. */
export interface Judged {
  readonly format: number;
  readonly engine: string;
  readonly digest: string;
  readonly feature: { readonly name: string; readonly units: "us" | "metric"; readonly [field: string]: unknown };
  readonly findings: readonly Finding[];
  readonly matters: readonly Matter[]; // all that is not ok
  readonly worst: readonly number[]; // of the matters, three or fewer, each of another kind
  readonly defaults_used: readonly unknown[];
  readonly limits_used: readonly unknown[];
  readonly out_of_range: readonly string[];
  readonly [branch: string]: unknown;
}

/** GET jobs/{job} */
export interface JobPage {
  readonly job: JobRef;
  readonly revision: string; // of the feature file, a full stop, and of shots.csv; sent back with every edit
  readonly judged: Judged;
  readonly key_numbers: readonly KeyNumber[];
  readonly rims: RimsTold;
  readonly checked_against: string;
  readonly fields: readonly Field[];
  readonly notes: readonly string[]; // as: a file was changed by another hand and was read again
  readonly last_step: LastStep | null; // that could be taken back
  readonly photos: readonly PhotoKept[];
  readonly visit_page: boolean; // whether GET jobs/{job}/visit.pdf has the page of the first visit
}

/** Edges of liner in words; sentences with the path of what each speaks of. `reason` says why there are none. */
export interface RimsTold {
  readonly rims: readonly { readonly path: string; readonly words: string }[]; // that can be drawn: drawings/rims.svg?rim=PATH
  readonly lowest: readonly (readonly [path: string, words: string])[];
  readonly raises: readonly (readonly [path: string, words: string])[];
  readonly ways: readonly string[];
  readonly reason: string;
}

/** The step that undo would take back: 'depth of the pond', 'reading s4 of JM, 22:10'. */
export interface LastStep {
  readonly what: string;
  readonly who: string; // whose it is; empty: done at the office itself
  readonly ask: boolean; // first: it is a reading, or somebody else's
}

/** One value of the feature file that can be typed anew. */
export interface Field {
  readonly location: readonly (string | number)[];
  readonly path: string; // of the element that it belongs to
  readonly words: string;
  readonly kind: string; // of value: length, level, or the words that may stand there
  readonly of: string; // what it belongs to, in words
  readonly element: string; // the path, in words
  readonly typed: string;
  readonly is_default: boolean;
}

/** A number that was touched: what `data-of` says of it in a drawing, or whose it is in a finding. */
export type NumberOf = string | { readonly code: string; readonly element: string; readonly name: string };

/** POST jobs/{job}/number, with `revision`, `edits` (there may be none) and `number`; answered by a list of these. */
export interface Told {
  readonly what: string;
  readonly value: string; // empty where it is as it was touched
  readonly band: string;
  readonly came: readonly string[];
  readonly typed: readonly Field[]; // the values to type that move it, nearest first
}

/**
 * POST jobs/{job}/try (nothing is written; answered by Tried) and POST jobs/{job}/save (by JobPage), which go by what stands
 * before the full stop of `revision`: readings do not get in the way. POST jobs/{job}/undo takes `revision` alone, and goes
 * by all of it (by JobPage). A default is written into the file by typing it.
 */
export interface Edits {
  readonly revision: string; // 409 with problems if the file is another by now
  readonly edits: readonly { readonly location: readonly (string | number)[]; readonly typed: string }[];
}

export interface Tried {
  readonly judged: Pick<Judged, "findings" | "matters" | "worst"> & Partial<Judged>; // with try?brief=true these alone
  readonly key_numbers: readonly KeyNumber[];
  readonly rims: RimsTold;
  readonly changed: Changed;
}

/** What is other than it was, worst first, in plain sentences and finding by finding. */
export interface Changed {
  readonly sentences: readonly string[];
  readonly findings: readonly { readonly before: Finding | null; readonly after: Finding | null }[];
}

/** GET jobs/{job}/fit: what fits each stream; the phone answers the same problem itself. */
export interface Fitted {
  readonly stream: string;
  readonly problem: FitProblem;
  readonly result: FitResult;
  readonly short: readonly string[]; // why nothing fits and what would, in sentences; none where something fits
  readonly nearest: Arrangement | null; // where nothing fits: the best once as little as it takes is given up
}

/**
 * GET jobs/{job}/drawings/{name}.svg?theme=light|dark&stream=ID&rim=PATH&run=ID&narrow=true, POST jobs/{job}/try/drawings/{name}.svg with Edits, and GET
 * jobs/{job}/packet.pdf answer files. A paired device fetches them with its token. Groups of a drawing bear the path of
 * their element as `data-path`.
 */
export type Drawing = "plan" | "long-section" | "staircase" | "rims" | "spills" | "pump" | "depths";

/**
 * GET jobs/{job}/over-time, and POST with `{ go: boolean }` to follow starts and stops of the job as it was saved, or to leave
 * it off. It goes on beside all else: ask again until it is done.
 */
export interface Followed {
  readonly state: "not run" | "stale" | "running" | "done" | "stopped" | "failed";
  readonly share: number;
  readonly doing: string;
  readonly reason: string;
  readonly revision: string;
  readonly histories: readonly HistoryRef[];
  readonly findings: readonly Finding[]; // those that following over time adds
  readonly odds: OddsTold;
}

/** How often each body and reach would spill on its worst ordinary day, for the builder alone; `reason` where it was not drawn. */
export interface OddsTold {
  readonly head: string;
  readonly how: string;
  readonly wanted: number | null;
  readonly edges: readonly { readonly path: string; readonly called: string; readonly chance: number; readonly chance_error: number; readonly often: boolean; readonly words: string }[];
  readonly reason: string;
}

/**
 * GET jobs/{job}/surface, and POST with `{ go: boolean }` to make the surfaces of the finished work of the job as it was saved,
 * or to leave it off. Once it is done, GET jobs/{job}/surface.glb is the file (binary glTF 2.0): nodes ground, dug, liner,
 * finished, and water at rest, water running, highest water where there is any; GET jobs/{job}/surface/{name}.svg?narrow=true is
 * one of the drawings; 409 before.
 */
export type Made = Pick<Followed, "state" | "share" | "doing" | "reason">;

export interface MadeSurface extends Made {
  readonly drawings: readonly { readonly name: string; readonly words: string }[];
}

export interface HistoryRef {
  readonly index: number;
  readonly case: string;
  readonly words: string;
  readonly lasted_s: number;
  readonly why: string;
}

/**
 * GET jobs/{job}/over-time/{index}?stream=ID: a history on paper. Places are millimetres of `stage_svg`, whose groups of the
 * layers `water wash` and `water` are empty; `axis` is of `chart_svg`. Rows of `surface` are times, columns are those of the
 * strips one after the other.
 */
export interface Motion {
  readonly words: string;
  readonly stream: string; // the one that is shown
  readonly streams: readonly string[]; // all that can be asked for
  readonly stage_svg: string;
  readonly chart_svg: string;
  readonly axis: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number; readonly lasted_s: number };
  readonly lasted_s: number;
  readonly times_s: readonly number[];
  readonly said: readonly string[];
  readonly strips: readonly Strip[];
  readonly surface: readonly (readonly number[])[];
  readonly basins: readonly { readonly path: string; readonly outlines: readonly (readonly Point[])[]; readonly level: readonly number[] }[];
  readonly sheets: readonly { readonly path: string; readonly line: readonly Point[]; readonly share: readonly number[] }[];
  readonly moments: readonly { readonly time_s: number; readonly at: string; readonly words: string }[];
}

export type Point = readonly [number, number];

export interface Strip {
  readonly path: string;
  readonly first: number; // which column of a row is its first
  readonly x: readonly number[];
  readonly bed: readonly number[];
}

// The day

export type Surface = "mark" | "ground" | "dig" | "liner" | "bed" | "stone top" | "water";
export type ShotState = "kept" | "doubted" | "withdrawn";

/**
 * One row of shots.csv, as typed. With `re` it speaks of an earlier row: in its place if it has a reading of its own,
 * else confirming, doubting or withdrawing it by its state. A benchmark is read at marks/ID on the surface mark.
 */
export interface Shot {
  readonly uuid: string;
  readonly time: string; // ISO 8601 with its offset, as the phone said
  readonly who: string;
  readonly setup: string; // as 2026-05-04/1
  readonly rod: string; // ft-in, tenths, inches, metric, or laser and one of these
  readonly path: string;
  readonly surface: string;
  readonly reading: string;
  readonly state: ShotState;
  readonly re: string;
  readonly note: string;
}

/** POST jobs/{job}/shots; 413 where there are more than 500 at once, 507 where the disk is full, 503 where it is written to. */
export interface ShotsSent {
  readonly format: number;
  readonly kit: string; // digest of the kit that the phone answered by
  readonly shots: readonly Shot[];
}

/**
 * Every uuid sent is in exactly one of the two lists. `acknowledged` ones are on the disk, whether now or before;
 * a `refused` one is not, and sending it again as it is will not help.
 */
export interface ShotsAnswer {
  readonly acknowledged: readonly string[];
  readonly refused: readonly { readonly uuid: string; readonly problems: readonly Problem[] }[];
  readonly reduced: readonly ReducedShot[];
  readonly changed: Changed;
  readonly notes: readonly string[];
  readonly kit: string; // digest of the kit as it is now: another one is fetched. Readings alone do not change it
}

/** One row of holds.csv, as typed: a line of a hold point, or all of it where `item` is empty. The last one set counts. */
export interface Tick {
  readonly uuid: string;
  readonly time: string;
  readonly who: string;
  readonly hold: string; // as dig.pond
  readonly item: string; // name of a line, as in HoldItem
  readonly initials: string;
  readonly state: "done" | "undone";
  readonly note: string; // what was taped or seen
}

/** POST jobs/{job}/ticks: as for shots, `{ format, kit, ticks }`. Every uuid sent is in exactly one of the first two lists. */
export interface TicksAnswer {
  readonly acknowledged: readonly string[];
  readonly refused: readonly { readonly uuid: string; readonly problems: readonly Problem[] }[];
  readonly asked: readonly { readonly uuid: string; readonly code: string; readonly text: string }[]; // kept, and odd
  readonly states: readonly HoldState[]; // as they stand now; none where the job cannot be judged
  readonly changed: Changed;
  readonly notes: readonly string[];
  readonly kit: string;
}

/** How a hold point stands. Those of a benchmark come every day anew: theirs is today's. */
export interface HoldState {
  readonly id: string;
  readonly done: boolean; // each line is, and somebody said so
  readonly initials: string;
  readonly time: string;
  readonly items: readonly HoldItem[];
}

export type Taped = "" | "no figure" | "no length" | "off";

export interface HoldItem {
  readonly name: string; // `shoot PATH SURFACE`, `tape WORDS`, `look WORDS`, `photograph WORDS`, `initial WHO`
  readonly done: boolean;
  readonly ticked: boolean | null; // what was said of it last; null: nothing
  readonly initials: string;
  readonly time: string;
  readonly note: string;
  readonly met: boolean | null; // whether the level shot there lies within its tolerance; null: none was shot
  readonly asked?: Taped; // what is odd about a line that was taped; it counts as done
}

export interface ReducedShot {
  readonly uuid: string;
  readonly level_nm: number | null;
  readonly level_m: number | null;
  readonly planned_m: number | null;
  readonly state: ShotState | "unconfirmed";
  readonly why: string;
  readonly questions: readonly { readonly code: string; readonly text: string; readonly doubts: boolean }[];
}

/**
 * GET jobs/{job}/kit: all that the phone needs to answer by itself for a day. Levels are whole nanometres above the
 * datum, as survey reduces shots; `low_nm` and `high_nm` bound the level that is still within tolerance.
 */
export interface Kit {
  readonly format: number;
  readonly digest: string;
  readonly job: JobRef;
  readonly made: string; // time
  readonly benchmark: Bounds; // of a benchmark read again, in metres as text
  readonly marks: readonly { readonly id: string; readonly name: string; readonly level_nm: number }[];
  readonly places: readonly KitPlace[];
  readonly holds: readonly KitHold[];
  readonly states: readonly HoldState[]; // of the hold points, when the kit was made
  readonly shots: readonly Shot[]; // of today's set-ups, that others took: so that a phone can go on from them
  readonly fits: readonly Course[]; // as built before today: the phone puts in what was read today
  readonly least_m: number; // the smallest change that is told
  readonly last_m: readonly [wanted: number, least: number]; // of the last fall
}

/** One surface at one stake, lap, rim or crest, in the order in which they are shot. */
export interface KitPlace {
  readonly stake: string;
  readonly path: string;
  readonly surface: Surface;
  readonly words: string;
  readonly peg: string; // where its peg stands, in words
  readonly planned_nm: number | null; // null: can be shot, but nothing is wanted there
  readonly low_nm: number | null;
  readonly high_nm: number | null;
  readonly margins: readonly KitMargin[];
}

/** What a level found there comes to: the first row whose `up_to` is not below it. The last one has none. */
export interface KitMargin {
  readonly up_to_nm: number | null;
  readonly severity: Severity;
  readonly words: string;
}

export interface KitTape {
  readonly words: string;
  readonly wanted_m: number | null;
  readonly within_m?: number | null; // further off than that is asked about
}

export interface KitHold {
  readonly id: string;
  readonly when: string;
  readonly at: string;
  readonly called?: string; // the same in words; not in a kit of long ago
  readonly words: string;
  readonly shoot: readonly { readonly path: string; readonly surface: Surface; readonly words: string; readonly wanted_nm: number; readonly low_nm: number; readonly high_nm: number }[];
  readonly tape: readonly KitTape[];
  readonly look: readonly string[];
  readonly photograph: readonly string[];
  readonly initials: readonly string[];
}
