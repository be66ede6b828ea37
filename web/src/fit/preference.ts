// What is liked: three named characters, each an ordered list of cost terms; the first that differs decides.
import { lastAdds, type Character, type FitProblem, type Kind } from "./problem.ts";

export const COST_NAMES: Record<Character, readonly string[]> = {
  quiet: ["whole steps left over", "minus ripples", "falls", "squared heights", "left over"],
  lively: ["whole steps left over", "squared distance from the lively fall", "drops", "left over"],
  loud: ["whole steps left over", "drops", "minus last height", "minus other drops", "squared heights", "left over"],
};

/** The cost terms of one drop; the last counts with its height as seen, every other one bed to bed. */
export function dropTerms(problem: FitProblem, kind: Kind, drop: number, isLast: boolean): number[] {
  const height = isLast ? drop + lastAdds(problem) : drop;
  const ripple = Number(kind === "ripple");
  if (problem.character === "quiet") return [0, 0 - ripple, 1 - ripple, height * height, 0];
  if (problem.character === "lively") return [0, (height - problem.lively_fall) ** 2, 1, 0];
  return [0, 1, isLast ? 0 - height : 0, isLast ? 0 : 0 - height, height * height, 0];
}

/** The cost terms of what is left over: whole marking steps first of all, the rest last of all. */
export function leftTerms(problem: FitProblem, left: number): number[] {
  const middle = COST_NAMES[problem.character].slice(2).map(() => 0);
  return [Math.floor(left / problem.step), ...middle, left];
}

/** Bits for each term, so that no sum of a lower term ever reaches into a higher one. */
export function termBits(problem: FitProblem): bigint {
  const tallest = BigInt(Math.max(problem.ripple[1], problem.fall[1]) + lastAdds(problem) + problem.lively_fall);
  const squares = BigInt(problem.drops[1]) * tallest * tallest;
  const heights = BigInt(Math.abs(problem.height)) + tallest;
  return BigInt((squares > heights ? squares : heights).toString(2).length + 2);
}

/** The terms as one whole number that adds and compares as they do. */
export function packed(terms: readonly number[], bits: bigint): bigint {
  return terms.reduce((total, term) => (total << bits) + BigInt(term), 0n);
}
