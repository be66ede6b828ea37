// The questions as screens: which stand on each, what is asked at its head, and what its keys come to.
import type { Question } from "../api.ts";
import type { Division, Keyed } from "../hand/pad.ts";
import { textOf } from "../hand/pad.ts";

/** What is asked by itself: a question of the service, or a part of one that takes several numbers. */
export interface Asked extends Pick<Question, "key" | "words" | "taken" | "words_allowed" | "optional"> {
  readonly kind: Question["kind"] | "mass";
}

export interface Step {
  readonly words: string;
  readonly questions: readonly Asked[];
}

/** One of what is also worth noting; `name` is how it is listed. */
export interface Also extends Step {
  readonly name: string;
}

const HEADS = [
  "What does the rod read on the benchmark?",
  "What does it read at the stream head?",
  "What does it read at the lowest ground round the pond?",
  "How large is the pond?",
  "How large is the stream?",
  "How should it sound?",
  "What comes in by which way?",
  "How far does the water lie below the paving?",
  "How long is the pipe?",
];

export function stepsOf(questions: readonly Question[]): Step[] {
  return HEADS.map((words, index) => ({ words, questions: questions.filter(({ number }) => number === index + 1) }));
}

const OPTIONAL: readonly (readonly [string, string, readonly string[]])[] = [
  ["soil", "What is the ground made of?", ["soil"]],
  ["groundwater", "How deep does the groundwater stand?", ["groundwater"]],
  ["topped up", "When is the pond topped up?", ["held"]],
  ["a machine of your own", "What can your own machine do?", ["own_machine"]],
  ["power", "How does power come to the pump?", ["power_distance", "power_protected"]],
  ["notes", "What else did you see?", ["notes"]],
];

/** Photos, which are files and no answers of the service's; they stand before the notes. */
export const PHOTOS: Also = { name: "photos", words: "What does it look like?", questions: [] };

/** The parts of a machine of one's own, by its plate and its chart. */
export const PLATE = ["width", "reach", "lift", "lift_at"] as const;
export type Plate = Readonly<Partial<Record<(typeof PLATE)[number], string>>>;
const PLATE_WORDS = ["Its width", "How far it reaches", "What it lifts, by its chart", "At what reach it lifts that"];

export function alsoOf(questions: readonly Question[]): Also[] {
  const found = OPTIONAL.map(([name, words, keys]) => {
    const asked = questions.filter(({ key }) => keys.includes(key));
    return { name, words, questions: asked.flatMap(partsOf) };
  }).filter((one) => one.questions.length > 0);
  return [...found.slice(0, -1), PHOTOS, ...found.slice(-1)];
}

function partsOf(question: Question): readonly Asked[] {
  if (question.kind !== "own machine") return [question];
  return PLATE.map((key, index) => ({
    key,
    words: PLATE_WORDS[index] ?? key,
    kind: key === "lift" ? "mass" : "length",
    taken: null,
    words_allowed: [],
    optional: true,
  }));
}

export const isPart = (key: string): key is (typeof PLATE)[number] => (PLATE as readonly string[]).includes(key);

/** The machine in one line, as the service reads it; empty until all four are there. */
export function machineOf({ width, reach, lift, lift_at }: Plate): string {
  return width && reach && lift && lift_at ? `${width}, ${reach}, ${lift} at ${lift_at}` : "";
}

/** What the pad has, as a length that bears its unit. */
export function lengthOf(keyed: Keyed): string {
  const text = textOf(keyed);
  const unit: Record<Division, string> = { "ft-in": "", inches: " in", tenths: " ft", metric: " m" };
  return text && text + unit[keyed.division];
}

/** Words that can be touched instead of being keyed. */
export function wordsOf({ key, words_allowed, taken }: Asked): readonly string[] {
  if (words_allowed.length > 0) return words_allowed;
  return taken !== null && /^[a-z]/.test(taken) ? [taken] : key === "pipe_run" ? ["stream"] : [];
}

/** A word as it stands on its key. */
export const spelt = (word: string): string =>
  ({ same: "the benchmark is the paving", stream: "the stream and a fifth more" })[word] ?? word;
