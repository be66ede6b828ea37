import assert from "node:assert/strict";
import { test } from "node:test";
import { readLength, type Length } from "../src/exact/length.ts";
import { read, textOf } from "../src/exact/rational.ts";
import { Refusal } from "../src/exact/refusal.ts";
import { rodReading } from "../src/exact/rods.ts";
import { feetInches, inchesOnly, showRod } from "../src/exact/show.ts";
import { cases } from "./vectors.ts";

interface Typed {
  text: string;
  rod?: string;
  [answer: string]: unknown;
}

function answer(call: () => Length): Record<string, unknown> {
  try {
    const { unit, exact, m } = call();
    return { unit, exact: textOf(exact), m: textOf(m) };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { refused: { message: error.message, found: error.found, allowed: error.allowed } };
  }
}

test("rod readings are read, or refused in the same words, as Python does", () => {
  for (const { text, rod = "", ...expected } of cases<Typed>("rods"))
    assert.deepEqual(answer(() => rodReading(text, rod)), expected, `${JSON.stringify(text)} on ${rod}`);
});

test("lengths are read, or refused in the same words, as Python does", () => {
  for (const { text, ...expected } of cases<Typed>("lengths"))
    assert.deepEqual(answer(() => readLength(text)), expected, JSON.stringify(text));
});

interface Shown {
  m: string;
  step: string;
  feet_inches: string;
  on_rod: string;
  inches: string;
  rods: Record<string, string>;
}

test("lengths are shown as Python shows them", () => {
  for (const shown of cases<Shown>("shown")) {
    const [m, step] = [read(shown.m), read(shown.step)];
    assert.equal(feetInches(m, step), shown.feet_inches);
    assert.equal(feetInches(m, step, false), shown.on_rod);
    assert.equal(inchesOnly(m, step), shown.inches);
    for (const [rod, text] of Object.entries(shown.rods)) assert.equal(showRod(m, rod), text, `${shown.m} on ${rod}`);
  }
});

test("a foot in print: 0.3048 m, and what is written out exactly is read as it was", () => {
  // International yard and pound agreement of 1959: a yard is 0.9144 m.
  assert.equal(textOf(readLength("3 ft").m), "0.9144");
  for (const text of ["0", "-0.0254", "1/3", "-7/24", "12.5", "100"]) assert.equal(textOf(read(text)), text);
  assert.throws(() => read("1.2.3"), SyntaxError);
  assert.throws(() => read("1/0"), RangeError);
});
