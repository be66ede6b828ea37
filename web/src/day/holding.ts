// Hold points as the phone has them: what the service last said of each, and what was ticked and shot here since.
import type { HoldItem, HoldState, Kit, KitHold, Tick } from "../api.ts";
import { timeWithOffset, uuid } from "../queue/uuid.ts";
import { tapedDoubt } from "./taped.ts";

export type Kind = "shoot" | "tape" | "look" | "photograph" | "initial";

/** One line of a hold point: its name, as the service has it, and what it asks for in words. */
export interface Line {
  readonly name: string;
  readonly kind: Kind;
  readonly words: string;
}

export function linesOf({ shoot, tape, look, photograph, initials }: KitHold): readonly Line[] {
  const line = (kind: Kind, words: string, name = `${kind} ${words}`): Line => ({ name, kind, words });
  return [
    ...shoot.map(({ path, surface, words }) => line("shoot", `${words} (${surface})`, `shoot ${path} ${surface}`)),
    ...tape.map(({ words }) => line("tape", words)),
    ...look.map((words) => line("look", words)),
    ...photograph.map((words) => line("photograph", words)),
    ...initials.map((who) => line("initial", who)),
  ];
}

export const isDaily = ({ at }: KitHold): boolean => at.startsWith("marks/");

const blank = (name: string): HoldItem => ({ name, done: false, ticked: null, initials: "", time: "", note: "", met: null, asked: "" });

/**
 * How a hold point stands once the ticks that wait are counted. `met` says of a line whether this phone has shot its level
 * within tolerance; undefined where it shot none there, and what the service said counts.
 */
export function stands(hold: KitHold, said: HoldState | undefined, ticks: readonly Tick[], met: (name: string) => boolean | undefined = () => undefined): HoldState {
  const names = linesOf(hold).map(({ name }) => name);
  const known = new Map(said?.items.map((item) => [item.name, item]));
  const items = new Map(names.map((name) => [name, known.get(name) ?? blank(name)]));
  for (const { item, state, initials, time, note } of ticks.filter((one) => one.hold === hold.id)) {
    const ticked = item === "" && state === "undone" ? null : state === "done"; // all of it taken back: nothing is said any more
    for (const name of item === "" ? names : [item]) {
      const old = items.get(name);
      const told = ticked ? { initials, time } : { initials: "", time: "" };
      if (old) items.set(name, { ...old, ticked, ...told, note: ticked === null ? "" : note });
    }
  }
  const all = names.map((name): HoldItem => {
    const item = items.get(name) ?? blank(name);
    const found = isDaily(hold) ? null : (met(name) ?? item.met);
    const tape = item.ticked ? hold.tape.find(({ words }) => name === `tape ${words}`) : undefined;
    return { ...item, met: found, done: item.ticked ?? found === true, asked: tape ? tapedDoubt(item.note, tape) : "" };
  });
  const done = all.some(({ ticked }) => ticked !== null) && all.every((item) => item.done);
  const signed = all.filter(({ name }) => name.startsWith("initial ")).map(({ initials }) => initials);
  return { id: hold.id, done, initials: done ? [...new Set(signed)].join(", ") : "", time: said?.time ?? "", items: all };
}

/** What the kit says of a hold point; of a benchmark nothing, where the kit is of another day. */
export const kitSays = ({ states, made }: Kit, hold: KitHold, day: string): HoldState | undefined =>
  isDaily(hold) && made.slice(0, 10) !== day ? undefined : (states as Kit["states"] | undefined)?.find(({ id }) => id === hold.id);

/** Open hold points that come before this one at its place, or for the whole site: the work would go on unchecked. */
export const openBefore = (holds: readonly KitHold[], hold: KitHold, isDone: (hold: KitHold) => boolean): readonly KitHold[] =>
  isDaily(hold) ? [] : holds.slice(0, holds.findIndex(({ id }) => id === hold.id)).filter((one) => (one.at === hold.at || one.at === "site/whole") && !isDone(one));

/** Ticks on their way that count today: those of a benchmark are of the day on which they were set. */
export const countedToday = (ticks: readonly Tick[], hold: KitHold, day: string): readonly Tick[] =>
  ticks.filter((tick) => tick.hold === hold.id && (!isDaily(hold) || tick.time.startsWith(day)));

export type Word = Pick<Tick, "item" | "state" | "initials" | "note">;

export const tickOf = (hold: string, who: string, word: Word): Tick => ({ uuid: uuid(), time: timeWithOffset(new Date()), who, hold, ...word });
