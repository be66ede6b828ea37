// Which number a finger means.
import assert from "node:assert/strict";
import { test } from "node:test";

import { distance, nearest, REACH_PX } from "../src/hand/nearest.ts";

const box = (left: number, top: number) => ({ left, top, right: left + 40, bottom: top + 12 });

test("a point inside a place is no way off it; beside it, the way to its edge; at its corner, both", () => {
  assert.equal(distance(10, 5, box(0, 0)), 0);
  assert.equal(distance(50, 5, box(0, 0)), 10);
  assert.equal(distance(43, 16, box(0, 0)), 5);
});

test("the nearest within reach is meant, and none beyond it", () => {
  const places = [box(0, 0), box(0, 20), box(100, 0)];
  assert.equal(nearest(5, 6, places), 0);
  assert.equal(nearest(5, 17, places), 1);
  assert.equal(nearest(75, 6, places), 2);
  assert.equal(nearest(5, 32 + REACH_PX + 1, places), -1);
  assert.equal(nearest(5, 5, []), -1);
});

test("a number is met as easily as the smallest key is wide: 56 px", () => {
  const place = box(100, 100);
  for (const [x, y] of [[73, 106], [167, 106], [120, 73], [120, 139]] as const) assert.equal(nearest(x, y, [place]), 0);
});
