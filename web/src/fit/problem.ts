// What is asked: a height budget, what a drop and a bed may be, what is wished for, and what is built already.
// Every length is a whole number of the problem's unit.
import { Reader } from "./reading.ts";

export type Unit = "1/16 in" | "1 mm";
export type Kind = "ripple" | "fall";
export type Character = "quiet" | "lively" | "loud";
export type Span = readonly [low: number, high: number];

export const UNITS: readonly Unit[] = ["1/16 in", "1 mm"];
export const KINDS: readonly Kind[] = ["ripple", "fall"];
export const CHARACTERS: readonly Character[] = ["quiet", "lively", "loud"];
export const MOST_DROPS = 40;

export interface Bed {
  readonly length: number | null;
  readonly pitch: Span | null;
}

export interface Built {
  readonly pitch: number;
  readonly drop: number | null;
}

export interface Wish {
  readonly at: number | "last";
  readonly drop: Span | null;
  readonly kind: Kind | null;
}

export interface FitProblem {
  readonly unit: Unit;
  readonly height: number;
  readonly step: number;
  readonly pitch_step: number;
  readonly pitch: Span;
  readonly ripple: Span;
  readonly fall: Span;
  readonly lively_fall: number;
  readonly grade: Span | null;
  readonly beds: readonly Bed[];
  readonly built: readonly Built[];
  readonly wishes: readonly Wish[];
  readonly drops: Span;
  readonly least_last: number;
  readonly spill_stone: number;
  readonly running_below_held: number;
  readonly most_left: number | null;
  readonly character: Character;
}

/** What the last fall is seen higher than its drop from bed to held water. */
export const lastAdds = (problem: FitProblem): number => problem.spill_stone + problem.running_below_held;

/** The problem with every default of its unit: common practice, no source. */
export function standardProblem(unit: Unit, height: number): FitProblem {
  const shared = {
    unit, height, grade: null, beds: [], built: [], wishes: [], drops: [1, 12], least_last: 0, spill_stone: 0,
    running_below_held: 0, most_left: null, character: "lively",
  } as const; // prettier-ignore
  return unit === "1/16 in"
    ? { ...shared, step: 8, pitch_step: 4, pitch: [0, 16], ripple: [64, 80], fall: [88, 384], lively_fall: 128 }
    : { ...shared, step: 10, pitch_step: 5, pitch: [0, 25], ripple: [100, 130], fall: [140, 600], lively_fall: 200 };
}

/** The problem that a JSON object states; what it leaves out is as in `standardProblem`. Throws FitRefusal. */
export function problemFrom(data: unknown): FitProblem {
  const reader = new Reader(data);
  const unit = reader.choice("unit", UNITS, { default: "1/16 in", needed: true });
  const standard = standardProblem(unit, reader.whole("height", 0, true));
  const found: FitProblem = {
    ...standard,
    step: reader.whole("step", standard.step),
    pitch_step: reader.whole("pitch_step", standard.pitch_step),
    pitch: reader.span("pitch", standard.pitch),
    ripple: reader.span("ripple", standard.ripple),
    fall: reader.span("fall", standard.fall),
    lively_fall: reader.whole("lively_fall", standard.lively_fall),
    grade: reader.maybeSpan("grade"),
    beds: reader.parts("beds").map((part) => ({ length: part.maybeWhole("length"), pitch: part.maybeSpan("pitch") })),
    built: reader.parts("built").map((part) => ({ pitch: part.whole("pitch", 0, true), drop: part.maybeWhole("drop") })),
    wishes: reader.parts("wishes").map((part) => ({
      kind: part.has("kind") ? part.choice<Kind>("kind", KINDS, { default: "fall", needed: false }) : null,
      at: part.position("at"),
      drop: part.maybeSpan("drop"),
    })),
    drops: reader.span("drops", standard.drops),
    least_last: reader.whole("least_last", standard.least_last),
    spill_stone: reader.whole("spill_stone", standard.spill_stone),
    running_below_held: reader.whole("running_below_held", standard.running_below_held),
    most_left: reader.maybeWhole("most_left"),
    character: reader.choice("character", CHARACTERS, { default: standard.character, needed: false }),
  };
  reader.close();
  return found;
}
