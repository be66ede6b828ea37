// One shot to one level in whole nanometres: an inch is 25,400,000 of them, so whatever a rod reads is exact, and 9,000 km
// are still a whole number here.
import { rational, read, textOf, wholeSteps, type Rational } from "../exact/rational.ts";
import { readingM, type Rod } from "./rod.ts";

const PER_M = 1_000_000_000;

/** A length in metres to the nearest nanometre, a half away from nothing. */
export const wholeNm = (m: Rational): number => Number(wholeSteps(m, rational(1, PER_M)));

/** A length in metres, written as a decimal, in nanometres. */
export const nmOf = (metres: string): number => wholeNm(read(metres));

/** Nanometres as exact metres, and as their text. */
export const metresOf = (nm: number): Rational => rational(nm, PER_M);
export const metresText = (nm: number): string => textOf(metresOf(nm));

/** What the rod reads; throws Refusal where no such rod could. */
export const readingNm = (text: string, rod: Rod): number => wholeNm(readingM(text, rod));

const signOf = (rod: Rod): number => (rod.direct ? 1 : -1);

/** Height of instrument from a reading on a mark. */
export const instrumentNm = (mark: number, reading: number, rod: Rod): number => mark - signOf(rod) * reading;

/** Level of a shot by the height of instrument. */
export const levelNm = (instrument: number, reading: number, rod: Rod): number => instrument + signOf(rod) * reading;
