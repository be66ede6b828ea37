import assert from "node:assert/strict";
import { test } from "node:test";
import { typeset } from "../src/hand/typeset.ts";

test("lengths in a sentence are set as in the drawings, all else stays", () => {
  assert.equal(typeset(`needs 24' 6 1/2" by 18' 6 1/2" now, 7 3/8 in less`), "needs 24′ 6½″ by 18′ 6½″ now, 7⅜ in less");
  assert.equal(typeset(`drops 5/8 in; the bank's 2' 0"`), "drops ⅝ in; the bank's 2′ 0″");
  assert.equal(typeset("a pipe of 3/16 in, 11/8, 4/2026"), "a pipe of 3/16 in, 11/8, 4/2026");
});
