// A history between its times: rows, shares, and the paths of water over a bed.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Motion } from "../src/api.ts";
import { between, columns, nextMoment, water } from "../src/play/film.ts";

const TIMES = [8, 16, 24];

test("a moment lies between two rows, or on the first or the last", () => {
  assert.deepEqual(between(TIMES, 0), { row: 0, next: 0, share: 0 });
  assert.deepEqual(between(TIMES, 8), { row: 0, next: 1, share: 0 });
  assert.deepEqual(between(TIMES, 18), { row: 1, next: 2, share: 0.25 });
  assert.deepEqual(between(TIMES, 24), { row: 2, next: 2, share: 0 });
  assert.deepEqual(between(TIMES, 99), { row: 2, next: 2, share: 0 });
});

test("columns are mixed by the share", () => {
  const rows = [[10, 20], [20, 40], [20, 40]]; // prettier-ignore
  assert.deepEqual(columns(rows, between(TIMES, 10)), [12.5, 25]);
  assert.deepEqual(columns(rows, between(TIMES, 30)), [20, 40]);
});

test("water has a surface only where the bed is wet", () => {
  const strip = { path: "reaches/b1", first: 1, x: [0, 1, 2, 3], bed: [50, 50, 50, 50] };
  const { wash, surface } = water(strip, [99, 48, 50, 49, 49]);
  assert.equal(surface, "M0.00 48.00M2.00 49.00L3.00 49.00");
  assert.equal(wash, "M0.00 48.00L1.00 50.00L2.00 49.00L3.00 49.00L3.00 50.00L2.00 50.00L1.00 50.00L0.00 50.00Z");
});

test("water is never drawn under its bed", () => {
  const { surface } = water({ path: "reaches/b1", first: 0, x: [0, 1], bed: [50, 50] }, [51, 52]);
  assert.equal(surface, "");
});

test("the next moment is the end where nothing happens any more", () => {
  const motion = { moments: [{ time_s: 5, at: "5 s", words: "f1 runs" }], lasted_s: 60 } as unknown as Motion;
  assert.equal(nextMoment(motion, 0), 5);
  assert.equal(nextMoment(motion, 5), 60);
});
