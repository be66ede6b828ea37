import assert from "node:assert/strict";
import { test } from "node:test";
import type { HoldState, Kit, KitHold, Tick } from "../src/api.ts";
import { countedToday, kitSays, linesOf, openBefore, stands, tickOf } from "../src/day/holding.ts";
import { cases } from "./vectors.ts";

interface Case {
  name: string;
  hold: KitHold;
  said: HoldState;
  waiting: Tick[];
  stands: HoldState;
}

test("a hold point stands as Python says, once the ticks that wait are counted", () => {
  for (const { name, hold, said, waiting, stands: wanted } of cases<Case>("holds")) {
    const found = stands(hold, said, waiting);
    // a level that was shot bears its own time, and the last word on all of it is told by the service
    const bare = ({ items, ...rest }: HoldState): unknown => ({ ...rest, time: "", items: items.map((item) => ({ ...item, time: item.ticked ? item.time : "" })) });
    assert.deepEqual(bare(found), bare(wanted), name);
    assert.deepEqual(linesOf(hold).map((line) => line.name), wanted.items.map((item) => item.name), name);
  }
});

const [{ hold }] = cases<Case>("holds").filter(({ hold: { at, shoot } }) => at === "ponds/pond" && shoot.length > 0) as [Case];
const shoot = linesOf(hold)[0]?.name ?? "";
const word = (item: string, state: "done" | "undone" = "done"): Tick => tickOf(hold.id, "KA", { item, state, initials: "KA", note: "" });

test("a level that this phone shot marks its line, until somebody says otherwise", () => {
  const item = (...ticks: Tick[]): boolean | undefined => stands(hold, undefined, ticks, (name) => (name === shoot ? true : undefined)).items[0]?.done;
  assert.equal(item(), true);
  assert.equal(item(word(shoot, "undone")), false);
  assert.equal(item(word(shoot, "undone"), word("", "undone")), true);
});

test("benchmarks are held every day anew, whatever the kit of another day says", () => {
  const [daily, day] = [{ ...hold, at: "marks/bm" }, "2026-05-05"];
  const states = [{ id: hold.id, done: true, initials: "KA", time: "", items: [] }];
  const kit = (made: string): Kit => ({ made, states }) as unknown as Kit;
  assert.equal(kitSays(kit("2026-05-04T18:00:00+02:00"), daily, day), undefined);
  assert.equal(kitSays(kit("2026-05-05T07:00:00+02:00"), daily, day)?.done, true);
  assert.equal(kitSays(kit("2026-05-04T18:00:00+02:00"), hold, day)?.done, true);
  const old = { ...word(""), time: "2026-05-04T18:00:00+02:00" };
  assert.deepEqual([countedToday([old], daily, day).length, countedToday([old], hold, day).length], [0, 1]);
});

test("what is open before it, at its place or for the whole site, is named", () => {
  const holds = [["services", "site/whole"], ["dig", "ponds/pond"], ["other", "ponds/small"], ["liner", "ponds/pond"], ["fill", "ponds/pond"]].map(
    ([id = "", at = ""]) => ({ ...hold, id, at }),
  );
  const before = (id: string, done: string[] = []): string[] =>
    openBefore(holds, holds.find((one) => one.id === id) ?? hold, (one) => done.includes(one.id)).map((one) => one.id);
  assert.deepEqual(before("liner"), ["services", "dig"]);
  assert.deepEqual(before("liner", ["services"]), ["dig"]);
  assert.deepEqual(before("services"), []);
});
