// A visit that was begun: remembered whole, or not at all. And what is also noted, as screens.
import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import type { Question } from "../src/api.ts";
import { begunHere, forgetBegun, rememberBegun, type Begun } from "../src/visit/begun.ts";
import { alsoOf, machineOf, stepsOf } from "../src/visit/steps.ts";

const shelf = new Map<string, string>();
globalThis.localStorage = {
  getItem: (key: string) => shelf.get(key) ?? null,
  setItem: (key: string, value: string) => void shelf.set(key, value),
  removeItem: (key: string) => void shelf.delete(key),
} as Storage;
beforeEach(() => shelf.clear());

const BEGUN: Begun = {
  rod: "tenths",
  name: "Larch Bank",
  answers: { head_reading: "1.25", notes: "services: gas\n" },
  plate: { width: "3' 6\"" },
  photos: 1,
  at: 4,
  kept: { id: "larch-bank", name: "Larch Bank", units: "us" },
};

test("what was begun is there again until it is forgotten", () => {
  assert.equal(begunHere(), null);
  for (const begun of [BEGUN, { ...BEGUN, kept: null }]) {
    rememberBegun(begun);
    assert.deepEqual(begunHere(), begun);
  }
  forgetBegun();
  assert.equal(begunHere(), null);
});

test("what cannot be read is as if there were none", () => {
  const others: readonly object[] = [{ rod: "ruler" }, { answers: { look: 3 } }, { answers: [] }, { plate: null }, { at: -1 }, { at: "4" }, { kept: {} }];
  const texts = ["{", "3", "null", "[]", "{}", ...others.map((other) => JSON.stringify({ ...BEGUN, ...other }))];
  for (const text of texts) {
    shelf.set("rillwright-visit", text);
    assert.equal(begunHere(), null, text);
  }
});

test("a browser that keeps nothing is no trouble", () => {
  const usual = globalThis.localStorage;
  Object.defineProperty(globalThis, "localStorage", {
    get: () => {
      throw new Error("denied");
    },
    configurable: true,
  });
  rememberBegun(BEGUN);
  forgetBegun();
  assert.equal(begunHere(), null);
  Object.defineProperty(globalThis, "localStorage", { value: usual, configurable: true, writable: true });
});

const question = (key: string, kind: Question["kind"], number: number | null = null): Question =>
  ({ key, words: key, kind, taken: null, hint: "", words_allowed: [], optional: number === null, number });

test("what is also noted stands on screens of its own and in none of the nine", () => {
  const asked = [
    question("benchmark_reading", "reading", 1), question("soil", "soil"), question("own_machine", "own machine"),
    question("power_distance", "length"), question("power_protected", "yes or no"), question("notes", "notes"),
  ]; // prettier-ignore
  assert.equal(stepsOf(asked).length, 9);
  assert.deepEqual(stepsOf(asked).flatMap(({ questions }) => questions.map(({ key }) => key)), ["benchmark_reading"]);
  const also = alsoOf(asked).map(({ name, questions }) => [name, questions.map(({ key }) => key)]);
  assert.deepEqual(also, [
    ["soil", ["soil"]],
    ["a machine of your own", ["width", "reach", "lift", "lift_at"]],
    ["power", ["power_distance", "power_protected"]],
    ["photos", []],
    ["notes", ["notes"]],
  ]);
});

test("a machine is said once it is whole", () => {
  const whole = { width: "3' 6\"", reach: "9' 0\"", lift: "600 lb", lift_at: "6' 0\"" };
  assert.equal(machineOf(whole), "3' 6\", 9' 0\", 600 lb at 6' 0\"");
  for (const key of Object.keys(whole)) assert.equal(machineOf({ ...whole, [key]: "" }), "");
});
