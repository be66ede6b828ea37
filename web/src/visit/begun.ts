// A visit that was begun and not kept yet, so that a killed tab loses no answer.
import type { JobRef } from "../api.ts";
import type { Division } from "../hand/pad.ts";
import { forget, remember, remembered } from "../talk/remember.ts";
import type { Plate } from "./steps.ts";

const KEY = "visit";
const RODS: readonly string[] = ["ft-in", "inches", "tenths", "metric"] satisfies Division[];

export interface Begun {
  readonly rod: Division;
  readonly name: string;
  readonly answers: Readonly<Record<string, string>>;
  readonly plate: Plate; // of a machine that is not whole yet
  readonly photos: number;
  readonly at: number; // which of the nine
  readonly kept: JobRef | null; // a job already, its photos not all there
}

export const rememberBegun = (begun: Begun): void => remember(KEY, JSON.stringify(begun));
export const forgetBegun = (): void => forget(KEY);

/** The one that was begun here last; null where there is none, or where what is remembered cannot be read. */
export function begunHere(): Begun | null {
  let found: unknown;
  try {
    found = JSON.parse(remembered(KEY) || "null");
  } catch {
    return null;
  }
  if (!isParts(found)) return null;
  const { rod, name, answers, plate, photos, at, kept } = found;
  const whole =
    typeof rod === "string" && RODS.includes(rod) && typeof name === "string" && isTexts(answers) && isTexts(plate) &&
    typeof photos === "number" && typeof at === "number" && at >= 0 && (kept === null || (isTexts(kept) && "id" in kept)); // prettier-ignore
  return whole ? (found as unknown as Begun) : null;
}

const isParts = (value: unknown): value is Record<string, unknown> => typeof value === "object" && value !== null && !Array.isArray(value);
const isTexts = (value: unknown): value is Record<string, string> => isParts(value) && Object.values(value).every((one) => typeof one === "string");
