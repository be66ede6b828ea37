import assert from "node:assert/strict";
import { test } from "node:test";
import { counted, withBuilt, type BuiltLevel, type Course } from "../src/fit/course.ts";
import { whatFits, type Figures } from "../src/fit/telling.ts";
import { cases, plain } from "./vectors.ts";

interface Case {
  name: string;
  course: Course;
  figures: Figures;
  read: BuiltLevel[];
  known: number;
  problem: unknown;
  sentences: string[];
}

test("what was built puts the question as the service puts it, and what still fits is said in its words", () => {
  for (const { name, course, figures, read, known, problem, sentences } of cases<Case>("courses")) {
    const after = withBuilt(course, read);
    assert.deepEqual(plain(after.problem), problem, name);
    assert.deepEqual(whatFits(withBuilt(course, read.slice(0, known)), after, figures), sentences, name);
  }
});

test("without a reading the question is the kit's own, and nothing is told", () => {
  for (const { name, course, figures } of cases<Case>("courses").slice(0, 12)) {
    assert.deepEqual(plain(withBuilt(course, []).problem), course.problem, name);
    assert.deepEqual(whatFits(course, withBuilt(course, []), figures), [], name);
  }
});

test("halves go to the even unit, as the service counts", () => {
  assert.deepEqual([0.0005, 0.0015, 0.0025, -0.0005, -0.0015, 0.0014].map((m) => counted(m, "1 mm")), [0, 2, 2, 0, -2, 1]);
});
