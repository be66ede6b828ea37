// What is seen in three dimensions: the file as the service writes it, and going round it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { partAt, sheetsOf } from "../src/round/glb.ts";
import { HALF_VIEW, dragged, first, keyed, middle, moved, nearer, placeOf, sizeOf, type Eye, type Room } from "../src/round/orbit.ts";

/** A file with one triangle, put together by hand after glTF 2.0, sections 4.4 and 5. */
function file(change: (told: Record<string, unknown>) => void = () => undefined): ArrayBuffer {
  const numbers = new Float32Array([0, 0, 0, 1, 0, 0, 0, 0, -1, 0, 1, 0, 0, 1, 0, 0, 1, 0]);
  const body = new Uint8Array(72 + 12 + 8);
  body.set(new Uint8Array(numbers.buffer));
  body.set(new Uint8Array(new Uint32Array([0, 1, 2, 0, 1]).buffer), 72);
  const told: Record<string, unknown> = {
    nodes: [{ mesh: 0, name: "dug", extras: { parts: [["ponds/p", 0, 1]] } }],
    meshes: [{ primitives: [{ attributes: { POSITION: 0, NORMAL: 1 }, indices: 2, material: 0, mode: 4 }, { attributes: { POSITION: 0 }, indices: 3, material: 0, mode: 1 }] }],
    materials: [{ pbrMetallicRoughness: { baseColorFactor: [0.1, 0.2, 0.3, 0.6] } }],
    accessors: [0, 1, 2, 3].map((view) => ({ bufferView: view, componentType: view < 2 ? 5126 : 5125 })),
    bufferViews: [[0, 36], [36, 36], [72, 12], [84, 8]].map(([byteOffset, byteLength]) => ({ buffer: 0, byteOffset, byteLength })), // prettier-ignore
  };
  change(told);
  let text = JSON.stringify(told);
  text += " ".repeat((4 - (text.length % 4)) % 4);
  const found = new Uint8Array(28 + text.length + body.length);
  const words = new DataView(found.buffer);
  for (const [at, word] of [[0, 0x46546c67], [4, 2], [8, found.length], [12, text.length], [16, 0x4e4f534a], [20 + text.length, body.length], [24 + text.length, 0x004e4942]] as const) words.setUint32(at, word, true); // prettier-ignore
  found.set(new TextEncoder().encode(text), 20);
  found.set(body, 28 + text.length);
  return found.buffer;
}

test("a file is read: places, normals, rows, breaks, parts", () => {
  const [sheet] = sheetsOf(file());
  assert.ok(sheet);
  assert.deepEqual([sheet.name, sheet.opacity], ["dug", 0.6]);
  assert.deepEqual([...sheet.places], [0, 0, 0, 1, 0, 0, 0, 0, -1]);
  assert.deepEqual([...sheet.normals], [0, 1, 0, 0, 1, 0, 0, 1, 0]);
  assert.deepEqual([[...sheet.rows], [...sheet.breaks]], [[0, 1, 2], [0, 1]]); // prettier-ignore
  assert.deepEqual([partAt(sheet, 0), partAt(sheet, 1)], ["ponds/p", ""]);
});

test("what is no such file is told", () => {
  assert.throws(() => sheetsOf(new ArrayBuffer(0)), /is no GLB file/);
  assert.throws(() => sheetsOf(new TextEncoder().encode('{"problems":[]}     ').buffer), /is no GLB file/);
  assert.throws(() => sheetsOf(file().slice(0, -4)), /is no GLB file/);
  assert.throws(() => sheetsOf(file((told) => (told["accessors"] = []))), /of another kind/);
});

const ROOM: Room = { least: [0, -1, -20], most: [10, 2, 0] };

/** Where a place is seen, in shares of the picture's half height; nothing where it lies behind the eye. */
function seen(eye: Eye, place: readonly [number, number, number], wide: number): [number, number] | null {
  const at = placeOf(eye);
  const minus = (a: readonly number[], b: readonly number[]): number[] => a.map((value, axis) => value - (b[axis] ?? 0));
  const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, value, axis) => sum + value * (b[axis] ?? 0), 0);
  const cross = (a: readonly number[], b: readonly number[]): number[] => [0, 1, 2].map((axis) => (a[(axis + 1) % 3] ?? 0) * (b[(axis + 2) % 3] ?? 0) - (a[(axis + 2) % 3] ?? 0) * (b[(axis + 1) % 3] ?? 0)); // prettier-ignore
  const unit = (a: readonly number[]): number[] => a.map((value) => value / Math.hypot(...a));
  const on = unit(minus(eye.at, at));
  const right = unit(cross(on, [0, 1, 0]));
  const up = cross(right, on);
  const to = minus(place, at);
  const deep = dot(to, on);
  return deep <= 0 ? null : [dot(to, right) / deep / HALF_VIEW / wide, dot(to, up) / deep / HALF_VIEW];
}

const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((bits) => [0, 1, 2].map((axis) => (bits & (1 << axis) ? ROOM.most : ROOM.least)[axis]) as [number, number, number]); // prettier-ignore

for (const wide of [0.7, 1.6, 2.4])
  test(`at first all of it is seen, and little paper round it, in a picture ${wide} as wide as high`, () => {
    const places = corners.map((corner) => seen(first(ROOM, wide), corner, wide));
    const farthest = Math.max(...places.map((place) => (place ? Math.max(...place.map(Math.abs)) : 9)));
    assert.ok(farthest <= 1 && farthest > 0.9, String(farthest));
  });

test("what is looked at lies in the middle, north of who looks north", () => {
  const eye: Eye = { turn: 0, tilt: 30, away: 10, at: [1, 2, 3] };
  const at = placeOf(eye);
  assert.deepEqual(at.map((value) => Number(value.toFixed(9))), [1, 7, Number((3 + 10 * Math.cos(Math.PI / 6)).toFixed(9))]); // prettier-ignore
  assert.deepEqual(seen(eye, [1, 2, 3], 1)?.map((value) => Number(value.toFixed(9)) + 0), [0, 0]);
  assert.ok((seen(eye, [2, 2, 3], 1)?.[0] ?? 0) > 0, "east is to the right");
});

test("what is near goes with the finger that turns it, what is under it with two that move it", () => {
  const eye = first(ROOM, 1);
  const near: [number, number, number] = [...placeOf({ ...eye, away: eye.away * 0.3, tilt: 5 })];
  const before = seen(eye, near, 1)?.[0] ?? 0;
  assert.ok((seen(dragged(eye, 0.05, 0), near, 1)?.[0] ?? 0) > before);
  assert.ok(dragged(eye, 0, 0.1).tilt > eye.tilt);
  const to = seen(moved(eye, 0.1, 0, ROOM), eye.at, 1) ?? [9, 9];
  assert.ok(Math.abs(to[0] - 0.2) < 1e-6, "a tenth of the height to the right");
  const low = seen(moved(eye, 0, 0.05, ROOM), eye.at, 1) ?? [9, 9];
  assert.ok(low[1] < -0.07 && low[1] > -0.14, String(low));
});

test("nobody gets under the ground, over the top, into it or out of sight", () => {
  let eye = first(ROOM, 1);
  for (let step = 0; step < 60; step++) eye = keyed(eye, "ArrowUp", ROOM, () => eye) ?? eye;
  assert.equal(eye.tilt, 89);
  for (let step = 0; step < 60; step++) eye = keyed(eye, "ArrowDown", ROOM, () => eye) ?? eye;
  assert.equal(eye.tilt, 2);
  for (let step = 0; step < 60; step++) eye = keyed(eye, "+", ROOM, () => eye) ?? eye;
  assert.ok(eye.away >= 0.05 * sizeOf(ROOM));
  assert.ok(nearer(eye, 1e9, ROOM).away <= 4 * sizeOf(ROOM));
  const far = moved(eye, 1e6, 1e6, ROOM).at;
  assert.ok(far[0] >= ROOM.least[0] && far[0] <= ROOM.most[0] && far[2] >= ROOM.least[2] && far[2] <= ROOM.most[2]);
});

test("by keys it goes all round, and Home shows all of it", () => {
  const all = first(ROOM, 1);
  let eye: Eye = { ...all, turn: 0 };
  for (let step = 0; step < 24; step++) eye = keyed(eye, "ArrowRight", ROOM, () => all) ?? eye;
  assert.equal(Math.round(eye.turn) % 360, 0);
  assert.equal(keyed(eye, "ArrowLeft", ROOM, () => all)?.turn, 345);
  assert.deepEqual(keyed({ ...eye, away: 1 }, "Home", ROOM, () => all), all);
  assert.equal(keyed(eye, "a", ROOM, () => all), null);
  assert.deepEqual(middle(ROOM), [5, 0.5, -10]);
});
