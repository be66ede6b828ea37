// A day on site as the phone has it: what can be shot in which order, and what a reading came to.
import type { Kit, KitMargin, KitPlace, Shot, Surface } from "../api.ts";
import { rational } from "../exact/rational.ts";
import { EIGHTH, feetInches, showRod } from "../exact/show.ts";
import type { Keyed } from "../hand/pad.ts";
import { withBuilt, type BuiltLevel } from "../fit/course.ts";
import { whatFits } from "../fit/telling.ts";
import { dayOf, type Day, type DayPlan, type DayShot } from "../level/day.ts";
import { metresOf, metresText } from "../level/nanometres.ts";
import { readingWanted, rodNamed } from "../level/rod.ts";
import type { Asked, Code } from "../level/rows.ts";
import { todo, verdict, type Planned } from "../level/verdict.ts";
import { timeWithOffset, uuid } from "../queue/uuid.ts";

/** Who reads which rod from which set-up: what a killed tab must not lose, beside the readings. */
export interface Standing {
  readonly who: string;
  readonly rod: string;
  readonly setup: string;
  readonly mark: string;
}

/** Where on the page they stand: what a killed tab opens at again. */
export interface Stood extends Standing {
  readonly surface?: Surface;
  readonly at?: string; // the stake, by its key
  readonly screen?: string;
  readonly again?: boolean;
  readonly keyed?: Keyed; // half typed
}

export const planOf = ({ marks, places, benchmark }: Kit): DayPlan => ({ marks, places, benchmark });
export const keyOf = ({ path, surface }: { path: string; surface: string }): string => `${path} ${surface}`;

/** Places at which a level is wanted, in the order in which they are walked. */
export const wantedOf = (kit: Kit): readonly KitPlace[] => kit.places.filter(({ planned_nm, stake }) => planned_nm !== null && stake !== "");

export const surfacesOf = (places: readonly KitPlace[]): readonly Surface[] => [...new Set(places.map(({ surface }) => surface))];

/** The day of the phone's own clock, as set-ups are named by it. */
export const today = (): string => timeWithOffset(new Date()).slice(0, 10);

/**
 * A name for a new set-up that no other phone gives on the same day: by the initials of its reader, counted on from every
 * set-up of theirs that is known, and by the phone's own mark, for two phones without signal know nothing of each other.
 */
export function newSetUp(who: string, known: readonly string[], { phone, day = today() }: { phone: string; day?: string }): string {
  const own = `${day}/${who.replaceAll(/[^A-Za-z0-9]/g, "").toUpperCase() || "X"}-`;
  const counts = known.filter((name) => name.toUpperCase().startsWith(own)).map((name) => Number.parseInt(name.slice(own.length), 10) || 0);
  return `${own}${Math.max(0, ...counts) + 1}-${phone}`;
}

const MARKS = "23456789abcdefghjkmnpqrstuvwxyz"; // none that is taken for another

/** Three letters by which a phone tells its set-ups from those of another phone. */
export const phoneMark = (random = (bytes: Uint8Array<ArrayBuffer>): Uint8Array => crypto.getRandomValues(bytes)): string =>
  [...random(new Uint8Array(3))].map((byte) => MARKS[byte % MARKS.length]).join("");

/** A set-up as people say it: without its day, and without the phone's mark where no other set-up is called so. */
export function saidSetUp(setup: string, known: readonly string[]): string {
  const short = (name: string): string => name.slice(11).replace(/-[2-9a-z]{3}$/, "");
  return known.some((name) => name !== setup && short(name) === short(setup)) ? setup.slice(11) : short(setup);
}

/** Readings of the day by somebody of the same initials that this phone did not take. */
export const namesakes = (rows: readonly Shot[], own: ReadonlySet<string>, who: string): Shot[] =>
  rows.filter((shot) => shot.who.trim().toUpperCase() === who.trim().toUpperCase() && who.trim() !== "" && !own.has(shot.uuid));

export function shotOf(standing: Standing, at: { path: string; surface: string }, reading: string, re = ""): Shot {
  const { who, rod, setup } = standing;
  const time = timeWithOffset(new Date());
  return { uuid: uuid(), time, who, setup, rod, path: at.path, surface: at.surface, reading, state: "kept", re, note: "" };
}

/** A row that speaks of an earlier one: that it holds after all, or that it is taken out. */
export const sayOf = (earlier: Shot, who: string, state: "kept" | "withdrawn"): Shot => ({
  ...earlier, uuid: uuid(), time: timeWithOffset(new Date()), who, reading: "", state, re: earlier.uuid, note: "",
}); // prettier-ignore

/**
 * All rows of today: what others sent with the kit, then what this phone took; each once. Those of the set-up from which
 * is being read stay, whatever day the clock says by now.
 */
export function rowsOf(kit: Kit, own: readonly Shot[], standing: { setup: string }, day = today()): Shot[] {
  const found = new Map([...kit.shots, ...own].map((shot) => [shot.uuid, shot]));
  return [...found.values()].filter(({ setup, time }) => setup === standing.setup || setup.startsWith(`${day}/`) || time.startsWith(day));
}

/** Whether a set-up is of today, or of a day that the clock has not reached yet: then it has jumped back. */
export const stillStands = (setup: string, day = today()): boolean => setup !== "" && setup.slice(0, 10) >= day;

/** What to say where other levels are wanted than by the kit with which this phone worked today; else nothing. */
export function otherPlan(before: Kit | null, now: Kit): string {
  const sameDay = before !== null && before.made.slice(0, 10) === now.made.slice(0, 10);
  const wants = ({ marks, places }: Kit): string =>
    JSON.stringify([marks, places.map(({ path, surface, planned_nm }) => [path, surface, planned_nm])]);
  if (!sameDay || wants(before) === wants(now)) return "";
  return `The plan is another since ${now.made.slice(11, 16)}: look again at what is wanted. Nothing that was read is lost.`;
}

/** The last reading that stands at a place. */
export function lastAt(rows: readonly Shot[], day: Day, at: { path: string; surface: string }): { shot: Shot; found: DayShot } | null {
  const reduced = new Map(day.shots.map((one) => [one.uuid, one]));
  for (const shot of rows.toReversed()) {
    const found = reduced.get(shot.uuid);
    if (found && found.state !== "withdrawn" && keyOf(shot) === keyOf(at)) return { shot, found };
  }
  return null;
}

/** The levels that hold, neither doubted nor withdrawn, in the order in which they were read. */
function builtOf(rows: readonly Shot[], { shots }: Day): BuiltLevel[] {
  const reduced = new Map(shots.map((one) => [one.uuid, one]));
  return rows.flatMap(({ uuid: own, path, surface }) => {
    const found = reduced.get(own);
    const holds = found?.state === "kept" || found?.state === "unconfirmed";
    return found && holds && found.level_nm !== null ? [{ path, surface, level_nm: found.level_nm }] : [];
  });
}

/** What a reading makes of the height that is left, and of the falls that still fit, in sentences; none where nothing. */
export function stillFits(kit: Kit, rows: readonly Shot[], day: Day, shot: Shot): string[] {
  if (!kit.last_m) return []; // a kit of an older service, that lies in the phone
  const without = rows.filter(({ uuid: own, re }) => own !== shot.uuid && re !== shot.uuid);
  const [before, after] = [builtOf(without, dayOf(without, planOf(kit))), builtOf(rows, day)];
  return kit.fits.flatMap((course) => whatFits(withBuilt(course, before), withBuilt(course, after), kit));
}

/** The height of instrument of a set-up; a plain rod and one that reads direct have each their own. */
export const heightOf = (day: Day, setup: string, rod: string): number | null =>
  day.setups.find((one) => one.id === setup && directly(one.rod) === directly(rod))?.height_nm ?? null;

const directly = (rod: string): boolean => rodNamed(rod.slice(rod.lastIndexOf("/") + 1)).direct;

/** The reading wanted at a level; below nothing where no plain rod reads it from here. One that reads direct does. */
export function wantedAt(height: number, level: number, rod: string): { text: string; reaches: boolean } {
  const known = rodNamed(rod);
  const wanted = readingWanted(metresOf(height), metresOf(level), known);
  return { text: showRod(wanted, known.division), reaches: known.direct || wanted.top >= 0n };
}

export const bandOf = ({ planned_nm, low_nm, high_nm }: KitPlace): Planned | null =>
  planned_nm === null || low_nm === null || high_nm === null
    ? null
    : { level: metresText(planned_nm), low: metresText(low_nm), high: metresText(high_nm) };

export function toleranceOf({ low_nm, high_nm }: KitPlace, rod: string): string {
  if (low_nm === null || high_nm === null) return "";
  const half = rational(high_nm - low_nm, 2_000_000_000);
  const { division } = rodNamed(rod);
  return division === "ft-in" ? feetInches(half, EIGHTH) : showRod(half, division); // an inch, not 0' 1"
}

const MISREAD: readonly Code[] = ["foot", "rod", "far", "across"];

/** Whether it is asked about as misread, and nobody has said that it holds. */
export const misread = ({ asked, uuid: own }: DayShot, rows: readonly Shot[] = []): boolean =>
  asked.some(({ code }) => MISREAD.includes(code)) && !rows.some(({ re, state, reading }) => re === own && state === "kept" && !reading);

/** How a place stands that was shot: its state, else within tolerance or what is left to do there. */
export function stoodAt(place: KitPlace, rows: readonly Shot[], day: Day): string {
  const last = lastAt(rows, day, place);
  if (last === null) return "";
  const { found, shot } = last;
  const band = bandOf(place);
  if (found.state !== "kept" || found.level_nm === null || band === null) return found.state === "kept" ? "✓ shot" : found.state;
  const left = todo(verdict(metresText(found.level_nm), band), rodNamed(shot.rod).division, place.surface);
  return `${left.met ? "✓ shot" : `${left.size} ${left.words}`}${misread(found, rows) ? ", asked about" : ""}`;
}

/** Set-ups of the day to go on from, the newest first, those of the same reader before others. */
export function goOnFrom(day: Day, who: string, date = today()): string[] {
  const ids = [...new Set(day.setups.map(({ id }) => id).filter((id) => id.startsWith(`${date}/`)))].toReversed();
  const own = (id: string): boolean => who !== "" && id.toUpperCase().startsWith(`${date}/${who.toUpperCase()}-`);
  return [...ids.filter(own), ...ids.filter((id) => !own(id))];
}

export const marginAt = ({ margins }: KitPlace, level: number): KitMargin | undefined =>
  margins.find(({ up_to_nm }) => up_to_nm === null || level <= up_to_nm);

const QUESTIONS: Record<Code, (words: string) => string> = {
  reading: () => "No such rod can read that.",
  rod: (words) => (words ? `Was it read on a rod in ${words}?` : "Which rod was it?"),
  foot: (words) => `Misread by ${words || "a foot"}?`,
  far: () => "It is far from what is planned. Was it this stake, this surface, this set-up?",
  element: () => "The phone knows no such place.",
  surface: (words) => `No level of that surface is taken here${words ? `; there is ${words}` : ""}.`,
  benchmark: () => "No benchmark has been read from this set-up yet.",
  moved: () => "The benchmark reads otherwise than before: the instrument has moved.",
  across: (words) => `The instrument stands at ${words || "another set-up"} by now. Was it really read from the earlier one?`,
  duplicate: () => "The same reading has just been taken here.",
  again: () => "It reads otherwise than before. Has it been moved?",
  clock: () => "The phone's clock has jumped back.",
  time: () => "The phone's clock cannot be read.",
};

export const question = ({ code, words }: Asked): string => QUESTIONS[code](words);
