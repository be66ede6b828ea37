import assert from "node:assert/strict";
import { test } from "node:test";
import { rodReading } from "../src/exact/rods.ts";
import { textOf as exact } from "../src/exact/rational.ts";
import { bareOf, fraction, fractionText, isSomething, isTooMany, nothing, press, textOf, type Division, type Key, type Keyed } from "../src/hand/pad.ts";

const keyed = (division: Division, keys: string, sixteenths = 0): Keyed => {
  const typed = keys.split(" ").filter(Boolean).reduce((before, key) => press(before, key as Key), nothing(division));
  return fraction(typed, sixteenths);
};

const WRITTEN: [Division, string, number, string][] = [
  ["ft-in", "4 foot 7", 6, "4' 7 3/8\""],
  ["ft-in", "4 foot 1 1", 15, "4' 11 15/16\""],
  ["ft-in", "4 foot", 0, "4' 0\""],
  ["ft-in", "4 foot", 8, "4' 0 1/2\""],
  ["ft-in", "foot 4", 8, "0' 4 1/2\""],
  ["ft-in", "5 5", 6, "55 3/8\""],
  ["ft-in", "", 6, "3/8\""],
  ["ft-in", "4 foot 1 2", 0, "4' 12\""],
  ["ft-in", "4 . foot 7", 0, "4' 7\""],
  ["inches", "5 5", 6, "55 3/8"],
  ["inches", "5 foot 5", 0, "55"],
  ["tenths", "4 . 6 1", 6, "4.61"],
  ["tenths", ". 5", 0, "0.5"],
  ["metric", "1 . 4 . 0 6", 0, "1.406"],
  ["metric", "0 0 1", 0, "1"],
  ["metric", "1 2 3 4 5 6 7 8", 0, "123456"],
  ["metric", "1 . clear 2 back", 0, ""],
  ["metric", "minus 0 . 4", 0, "-0.4"],
  ["metric", "minus minus 2", 0, "2"],
  ["metric", "minus 2 back back 3", 0, "3"],
  ["tenths", "0 . 4 1 minus", 0, "-0.41"],
  ["ft-in", "minus foot 4", 8, "-0' 4 1/2\""],
  ["ft-in", "minus", 6, "-3/8\""],
];

test("keys come to readings as the book has them", () => {
  for (const [division, keys, sixteenths, text] of WRITTEN)
    assert.equal(textOf(keyed(division, keys, sixteenths)), text, `${division}: ${keys} ${sixteenths}/16`);
});

test("whatever is keyed in feet and inches is read back as just that", () => {
  for (let feet = 0; feet < 14; feet++)
    for (let inches = 0; inches < 12; inches++)
      for (let part = 0; part < 16; part++) {
        const keys = `${[...String(feet)].join(" ")} foot ${[...String(inches)].join(" ")}`;
        const { m } = rodReading(textOf(keyed("ft-in", keys, part)), "ft-in");
        assert.equal(exact(m), metres(feet, inches, part));
      }
});

/** Feet, inches and sixteenths in metres: an inch is 25.4 mm, so a sixteenth 1.5875 mm. */
function metres(feet: number, inches: number, part: number): string {
  const digits = String(((feet * 12 + inches) * 16 + part) * 15875).padStart(8, "0");
  return `${digits.slice(0, -7)}.${digits.slice(-7)}`.replace(/\.?0+$/, "");
}

test("back takes the fraction first, then digits, then the foot", () => {
  let now = keyed("ft-in", "4 foot 7", 6);
  const seen: string[] = [];
  for (let i = 0; i < 4; i++) {
    now = press(now, "back");
    seen.push(textOf(now));
  }
  assert.deepEqual(seen, ["4' 7\"", "4' 0\"", "4\"", ""]);
  assert.equal(isSomething(now), false);
});

test("fractions are set in lowest terms, and only where the rod has them", () => {
  assert.deepEqual([0, 1, 2, 4, 6, 8, 12, 15].map(fractionText), ["", "1/16", "1/8", "1/4", "3/8", "1/2", "3/4", "15/16"]);
  assert.equal(fraction(nothing("metric"), 4).sixteenths, 0);
  assert.equal(fraction(nothing("ft-in"), 16).sixteenths, 0);
});

test("no key is dropped beside feet, and twelve inches or more are not taken", () => {
  const many = ["1 foot", "1 foot 1 1", "1 foot 1 2", "1 foot 1 3", "1 3"].map((keys) => isTooMany(keyed("ft-in", keys)));
  assert.deepEqual(many, [false, false, true, true, false]);
  assert.equal(textOf(keyed("ft-in", "1 foot 1 3")), "1' 13\"");
});

test("a bare number is asked about, and nothing else is", () => {
  const asked = (division: Division, keys: string, sixteenths = 0): string => bareOf(keyed(division, keys, sixteenths));
  assert.equal(asked("ft-in", "2 4"), "24");
  for (const [division, keys, sixteenths] of [["ft-in", "2 foot 4", 0], ["ft-in", "5 5", 6], ["ft-in", "0", 0], ["ft-in", "", 0], ["tenths", "2 4", 0], ["inches", "2 4", 0], ["metric", "2 4", 0]] as const)
    assert.equal(asked(division, keys, sixteenths), "", `${division} ${keys}`);
});
