import assert from "node:assert/strict";
import { test } from "node:test";
import type { Shot } from "../src/api.ts";
import { ASKING, dayOf, type DayPlan } from "../src/level/day.ts";
import { instrumentNm, levelNm } from "../src/level/nanometres.ts";
import { maybeNm } from "../src/level/rows.ts";
import { rodNamed } from "../src/level/rod.ts";
import { cases } from "./vectors.ts";

interface Case {
  name: string;
  shots: Shot[];
  plan: DayPlan;
  day: { setups: unknown[]; shots: Record<string, unknown>[] };
}

test("days on built work: heights, levels, states and what is asked are those that Python answers", () => {
  for (const { name, shots, plan, day } of cases<Case>("shots")) {
    const found = dayOf(shots, plan);
    assert.deepEqual(found.setups, day.setups, name);
    found.shots.forEach((shot, index) => {
      const asked = shot.asked.map(({ code, doubts }) => [code, doubts]);
      assert.deepEqual({ ...shot, asked }, day.shots[index], `${name}, ${JSON.stringify(shots[index])}`);
    });
    assert.equal(found.shots.length, day.shots.length);
  }
});

test("a reading is asked about from the same figures on as the service asks", () => {
  const [{ name, ...wanted }] = cases<{ name: string }>("asking") as [{ name: string }];
  assert.deepEqual(ASKING, wanted, name);
});

interface Levelled {
  name: string;
  mark_nm: number;
  rod: string;
  benchmark: string;
  reading: string;
  benchmark_nm: number | null;
  reading_nm: number | null;
  instrument_nm: number | null;
  level_nm: number | null;
}

test("one benchmark and one shot come to the nanometre that survey comes to", () => {
  const { levels } = cases<unknown>("shot_levels") as unknown as { levels: Levelled[] };
  assert.ok(levels.length >= 10);
  for (const given of levels) {
    const rod = rodNamed(given.rod);
    const [benchmark, reading] = [maybeNm(given.benchmark, rod), maybeNm(given.reading, rod)];
    const instrument = benchmark === null ? null : instrumentNm(given.mark_nm, benchmark, rod);
    const level = instrument === null || reading === null ? null : levelNm(instrument, reading, rod);
    const expected = [given.benchmark_nm, given.reading_nm, given.instrument_nm, given.level_nm];
    assert.deepEqual([benchmark, reading, instrument, level], expected, given.name);
  }
});
