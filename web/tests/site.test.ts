import assert from "node:assert/strict";
import { test } from "node:test";
import type { Kit, KitPlace, Shot } from "../src/api.ts";
import { dayOf } from "../src/level/day.ts";
import { heightOf, namesakes, newSetUp, otherPlan, phoneMark, rowsOf, saidSetUp, stillStands, toleranceOf, wantedAt } from "../src/day/site.ts";

const DAY = "2026-05-04";
const shot = (cells: Partial<Shot>): Shot => ({
  uuid: "u", time: `${DAY}T08:00:00-05:00`, who: "AB", setup: `${DAY}/AB-1-k7f`, rod: "ft-in", path: "marks/bolt", surface: "mark",
  reading: "4' 10 3/4\"", state: "kept", re: "", note: "", ...cells,
}); // prettier-ignore

test("two phones of the same initials that know nothing of each other name their set-ups apart", () => {
  const names = ["k7f", "m2p"].map((phone) => newSetUp("ab", [], { phone, day: DAY }));
  assert.deepEqual(names, [`${DAY}/AB-1-k7f`, `${DAY}/AB-1-m2p`]);
});

test("what is known is counted on, whoever named it, and other days and initials are not", () => {
  const known = [`${DAY}/AB-1-k7f`, `${DAY}/AB-4-m2p`, `${DAY}/ABC-9-k7f`, "2026-05-03/AB-7-k7f", `${DAY}/2`];
  assert.equal(newSetUp("A.B.", known, { phone: "k7f", day: DAY }), `${DAY}/AB-5-k7f`);
  assert.equal(newSetUp("\u00e4", [], { phone: "k7f", day: DAY }), `${DAY}/X-1-k7f`);
});

test("a phone's mark is three letters of its own", () => {
  assert.match(phoneMark(), /^[2-9a-z]{3}$/);
  assert.equal(phoneMark((bytes) => bytes.fill(31)), "222");
});

test("a set-up is said short where that names one alone", () => {
  assert.equal(saidSetUp(`${DAY}/AB-1-k7f`, [`${DAY}/AB-1-k7f`, `${DAY}/CD-1-m2p`]), "AB-1");
  assert.equal(saidSetUp(`${DAY}/AB-1-k7f`, [`${DAY}/AB-1-m2p`]), "AB-1-k7f");
  assert.equal(saidSetUp(`${DAY}/2`, []), "2");
});

test("the same initials from another phone are told, one's own readings are not", () => {
  const rows = [shot({ uuid: "mine" }), shot({ uuid: "other", who: "ab " }), shot({ uuid: "cd", who: "CD" })];
  assert.deepEqual(namesakes(rows, new Set(["mine"]), "AB").map(({ uuid }) => uuid), ["other"]);
  assert.deepEqual(namesakes(rows, new Set(), " "), []);
});

test("a plain rod and one read direct have each their own height in one set-up", () => {
  const plan = { marks: [{ id: "bolt", level_nm: 0 }], places: [], benchmark: { good: "0.003175", bad: "0.00635" } };
  const day = dayOf([shot({ rod: "metric", reading: "1.5" }), shot({ uuid: "l", rod: "laser metric", reading: "-0.2" })], plan);
  const setup = `${DAY}/AB-1-k7f`;
  assert.equal(heightOf(day, setup, "metric"), 1_500_000_000);
  assert.equal(heightOf(day, setup, "laser metric"), 200_000_000);
  assert.equal(heightOf(day, "another", "metric"), null);
});

test("what a plain rod must read grows downward; direct it grows upward, below nothing too", () => {
  const low = -1_000_000_000;
  assert.deepEqual(wantedAt(1_500_000_000, low, "metric"), { text: "2.500 m", reaches: true });
  assert.equal(wantedAt(0, 1_000_000_000, "metric").reaches, false);
  assert.deepEqual(wantedAt(0, low, "laser metric"), { text: "-1.000 m", reaches: true });
  assert.deepEqual(wantedAt(0, low, "laser tenths"), { text: "-3.28 ft", reaches: true });
});

test("a clock that jumps back loses no set-up, and no reading of it", () => {
  const kit = { shots: [shot({}), shot({ uuid: "old", setup: "2026-05-03/X-1-aaa", time: "2026-05-03T08:00:00-05:00" })] } as unknown as Kit;
  const taken = shot({ uuid: "late", time: "2026-05-02T20:00:00-05:00" });
  const rows = rowsOf(kit, [taken], { setup: `${DAY}/AB-1-k7f` }, "2026-05-02");
  assert.deepEqual(rows.map(({ uuid }) => uuid), ["u", "late"]);
  assert.deepEqual([DAY, "2026-05-02", "2026-05-05"].map((day) => stillStands(`${DAY}/AB-1-k7f`, day)), [true, true, false]);
  assert.equal(stillStands("", DAY), false);
});

test("another plan is told on the day on which the phone worked by the one before", () => {
  const kit = (planned_nm: number, made: string): Kit => ({ made, marks: [], places: [{ path: "p", surface: "dig", planned_nm }] }) as unknown as Kit;
  const before = kit(1, `${DAY}T07:00:00-05:00`);
  assert.match(otherPlan(before, kit(2, `${DAY}T09:30:00-05:00`)), /another since 09:30/);
  assert.equal(otherPlan(before, kit(1, `${DAY}T09:30:00-05:00`)), "");
  assert.equal(otherPlan(before, kit(2, "2026-05-05T07:00:00-05:00")), "");
  assert.equal(otherPlan(null, before), "");
});

test("a tolerance is said as people say it", () => {
  const place = { low_nm: 0, high_nm: 50_800_000 } as KitPlace;
  assert.deepEqual(["ft-in", "inches", "metric"].map((rod) => toleranceOf(place, rod)), ["1 in", "1 in", "0.025 m"]);
});
