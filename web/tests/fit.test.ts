import assert from "node:assert/strict";
import { test } from "node:test";
import { fit, type FitResult } from "../src/fit/fit.ts";
import { FitRefusal, type FitFault } from "../src/fit/reading.ts";
import { cases, plain } from "./vectors.ts";

interface Case {
  name: string;
  problem: unknown;
  best: number;
  result?: FitResult;
  refused?: FitFault[];
}

function answer({ problem, best }: Case): unknown {
  try {
    return { result: plain(fit(problem, best)) };
  } catch (error) {
    if (!(error instanceof FitRefusal)) throw error;
    return { refused: error.faults };
  }
}

test("what fits, how often, in which order, what is short and what would fit: all as Python says", () => {
  for (const asked of cases<Case>("arrangements")) {
    const { result, refused } = asked;
    assert.deepEqual(answer(asked), result ? { result } : { refused }, asked.name);
  }
});

test("what is no problem at all is refused, with all that is wrong", () => {
  assert.throws(() => fit(null), FitRefusal);
  assert.throws(() => fit({ unit: "1 mm", height: 1.5 }), FitRefusal);
  assert.throws(() => fit({ unit: "1 mm", height: 900 }, -1), FitRefusal);
  try {
    fit({ unit: "cubit", heihgt: 3, drops: [1] });
    assert.fail("was answered");
  } catch (error) {
    assert.ok(error instanceof FitRefusal);
    assert.deepEqual(error.faults.map(({ field }) => field), ["unit", "height", "drops", "heihgt"]);
  }
});
