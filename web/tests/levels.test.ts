import assert from "node:assert/strict";
import { test } from "node:test";
import { FOOT_M } from "../src/exact/length.ts";
import { over, read, textOf } from "../src/exact/rational.ts";
import { fixed } from "../src/exact/show.ts";
import { reduce, type Reduced, type ReadingRow } from "../src/level/reduce.ts";
import { heightOfInstrument, levelBy, levelM, readingM, readingWanted, rodNamed } from "../src/level/rod.ts";
import { explain, type Bearing, type Slip } from "../src/level/slips.ts";
import { verdict, type Planned, type Verdict } from "../src/level/verdict.ts";
import { cases, plain } from "./vectors.ts";

interface Day {
  name: string;
  rows: ReadingRow[];
  held: Record<string, string>;
  result: Reduced;
}

const KINDS = ["again", "closing", "check"];
const byKind = (found: Reduced): unknown =>
  plain({ ...found, gaps: [...found.gaps].sort((a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind)) });

test("days of levelling come to the same levels, heights and gaps, to the last digit", () => {
  for (const { name, rows, held, result } of cases<Day>("days"))
    assert.deepEqual(byKind(reduce(rows, held)), plain(result), name);
});

interface Printed extends Day {
  printed: { name: string; setup?: number; point?: string; gap?: number; printed: string; source: string }[];
}

test("the printed level book comes to what is printed, in feet", () => {
  let seen = 0;
  for (const { rows, held, printed } of cases<Printed>("published-levelling")) {
    const found = reduce(rows, held);
    for (const row of printed) {
      const level = found.levels.find(({ point }) => point === row.point)?.level;
      const m = level ?? found.setups[row.setup ?? -1]?.height ?? found.gaps[row.gap ?? -1]?.gap;
      const places = row.printed.split(".")[1]?.length ?? 0;
      assert.equal(fixed(over(read(m ?? ""), FOOT_M), places), row.printed, `${row.name}: ${row.source}`);
      seen += 1;
    }
  }
  assert.ok(seen >= 10);
});

test("a set-up that hangs on nothing has no level, and is not lost", () => {
  const row = { surface: null, rod: "metric", sight: "intermediate" } as const;
  const found = reduce(
    [
      { ...row, setup: "1", point: "BM", sight: "backsight", reading: "1.500" },
      { ...row, setup: "2", point: "P", reading: "1.200" },
    ],
    { BM: "10" },
  );
  assert.deepEqual(found.setups.map(({ height }) => height), ["11.5", null]);
  assert.deepEqual(found.rows.map(({ level }) => level), ["10", null]);
});

test("slips that explain a disagreement are those that Python names", () => {
  for (const { gap, bearings, near, slips } of cases<{ gap: string; near: string; bearings: Bearing[]; slips: Slip[] }>("slips"))
    assert.deepEqual(explain(gap, bearings, near), slips, JSON.stringify({ gap, bearings }));
});

test("a level is met, to be cut or to be filled", () => {
  for (const { name, level, planned, verdict: expected } of cases<{
    name: string;
    level: string;
    planned: Planned;
    verdict: Verdict;
  }>("verdicts"))
    assert.deepEqual(verdict(level, planned), expected, name);
});

test("the reading wanted on a level, read, gives that level, on either kind of rod", () => {
  for (const words of ["metric", "laser metric", "ft-in", "laser inches"]) {
    const rod = rodNamed(words);
    const mark = levelM("10 m", rod);
    const height = heightOfInstrument(mark, readingM(rod.division === "ft-in" ? "4' 0\"" : "1", rod), rod);
    for (const text of ["9.5 m", "8 m", "10 m"]) {
      const level = levelM(text, rod);
      assert.equal(textOf(levelBy(height, readingWanted(height, level, rod), rod)), textOf(level));
    }
  }
});
