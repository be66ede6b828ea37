// The nine answers as screens: which questions stand on each, and what is asked at its head.
import type { Question } from "../api.ts";
import type { Division, Keyed } from "../hand/pad.ts";
import { textOf } from "../hand/pad.ts";

export interface Step {
  readonly words: string;
  readonly questions: readonly Question[];
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

/** What the pad has, as a length that bears its unit. */
export function lengthOf(keyed: Keyed): string {
  const text = textOf(keyed);
  const unit: Record<Division, string> = { "ft-in": "", inches: " in", tenths: " ft", metric: " m" };
  return text && text + unit[keyed.division];
}

/** Words that can be touched instead of being keyed. */
export function wordsOf({ key, words_allowed, taken }: Question): readonly string[] {
  if (words_allowed.length > 0) return words_allowed;
  return taken !== null && /^[a-z]/.test(taken) ? [taken] : key === "pipe_run" ? ["stream"] : [];
}

/** A word as it stands on its key. */
export const spelt = (word: string): string =>
  ({ same: "the benchmark is the paving", stream: "the stream and a fifth more" })[word] ?? word;
