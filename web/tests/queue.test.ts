import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import type { Shot, ShotsAnswer } from "../src/api.ts";
import { indexedDbKept } from "../src/queue/kept.ts";
import { posting, type Posted } from "../src/queue/post.ts";
import { Queue, type Status } from "../src/queue/queue.ts";
import { indexedDbStore, type Item, type Store } from "../src/queue/store.ts";
import { timeWithOffset, uuid } from "../src/queue/uuid.ts";

/** A store in memory that can be full. */
class Shelf implements Store {
  readonly items = new Map<string, Item>();
  room = Infinity;

  all(): Promise<Item[]> {
    return Promise.resolve([...this.items.values()]);
  }

  add(item: Item): Promise<void> {
    if (this.items.has(item.uuid)) return Promise.reject(new Error("is there already"));
    return this.put([item]);
  }

  put(items: readonly Item[]): Promise<void> {
    const fresh = items.filter(({ uuid }) => !this.items.has(uuid)).length;
    if (this.items.size + fresh > this.room) return Promise.reject(new DOMException("full", "QuotaExceededError"));
    for (const item of items) this.items.set(item.uuid, structuredClone(item));
    return Promise.resolve();
  }

  remove(uuids: readonly string[]): Promise<void> {
    for (const uuid of uuids) this.items.delete(uuid);
    return Promise.resolve();
  }
}

/** A service that keeps each uuid once; `mood` says what becomes of the next batches. */
class Office {
  readonly rows: Shot[] = [];
  readonly batches: number[] = [];
  mood: (Posted["outcome"] | "answer lost" | "silent")[] = [];
  refuse = new Set<string>();
  most = Infinity;

  post = async (shots: readonly Shot[]): Promise<Posted> => {
    await Promise.resolve();
    const mood = this.mood.shift() ?? "answered";
    if (mood === "later") return { outcome: "later", words: "no signal" };
    if (mood === "stopped") return { outcome: "stopped", words: "this phone is not paired any more" };
    if (shots.length > this.most) return { outcome: "smaller" };
    this.batches.push(shots.length);
    const good = shots.filter((shot) => !this.refuse.has(shot.reading));
    const taken = mood === "silent" ? good.slice(0, 1) : good;
    for (const shot of taken) if (!this.rows.some(({ uuid }) => uuid === shot.uuid)) this.rows.push(shot);
    if (mood === "answer lost") return { outcome: "later", words: "the answer was cut off" };
    const problem = { message: "is too long", file: "", line: null, column: null, field: "note", found: "", allowed: "" };
    const refused = shots.filter((shot) => !good.includes(shot)).map(({ uuid }) => ({ uuid, problems: [problem] }));
    return { outcome: "answered", answer: answer(taken.map((shot) => shot.uuid), refused) };
  };
}

function answer(acknowledged: string[], refused: ShotsAnswer["refused"] = []): ShotsAnswer {
  return { acknowledged, refused, reduced: [], changed: { sentences: [], findings: [] }, notes: [], kit: "k" };
}

function shot(reading: string): Shot {
  const [setup, rod, path] = ["2026-05-04/1", "ft-in", "falls/f1.crest"];
  const time = timeWithOffset(new Date());
  return { uuid: uuid(), time, who: "lead", setup, rod, path, surface: "stone top", reading, state: "kept", re: "", note: "" };
}

interface Bench {
  queue: Queue;
  shelf: Shelf;
  office: Office;
  waits: number[];
  states: Status[];
  tick(): Promise<void>;
}

function bench(shelf = new Shelf(), office = new Office()): Bench {
  const waits: number[] = [];
  const states: Status[] = [];
  const due: (() => void)[] = [];
  const later = (work: () => void, ms: number): (() => void) => {
    waits.push(ms);
    due.push(work);
    return () => void due.splice(0, due.length);
  };
  const queue = new Queue({ job: "j", store: shelf, post: office.post, told: (s) => states.push(s), later, random: () => 1 });
  const tick = async (): Promise<void> => {
    due.splice(0, 1)[0]?.();
    await queue.send();
  };
  return { queue, shelf, office, waits, states, tick };
}

test("a reading is kept first, then sent, and said to be", async () => {
  const { queue, shelf, office, states } = bench();
  await queue.start();
  assert.equal(await queue.add(shot("4' 7 3/8\"")), true);
  assert.equal(shelf.items.size, 1);
  await queue.send();
  assert.equal(office.rows.length, 1);
  assert.deepEqual([queue.status.waiting, queue.status.sent, queue.status.trouble], [0, 1, ""]);
  assert.ok(states.some(({ waiting }) => waiting === 1), "waiting was shown");
  assert.equal([...shelf.items.values()][0]?.state, "sent");
});

test("without signal it waits longer each time, up to a minute, and a wake tries at once", async () => {
  const { queue, office, waits, tick } = bench();
  office.mood = Array.from({ length: 9 }, () => "later" as const);
  await queue.add(shot("1' 0\""));
  await queue.send();
  for (let i = 0; i < 8; i++) await tick();
  assert.deepEqual(waits, [1000, 2000, 4000, 8000, 16000, 32000, 60000, 60000, 60000]);
  assert.equal(queue.status.trouble, "no signal");
  assert.equal(office.rows.length, 0);
  queue.wake();
  await queue.send();
  assert.deepEqual([office.rows.length, queue.status.waiting, queue.status.trouble, queue.status.wait_ms], [1, 0, "", null]);
});

test("a killed tab loses nothing, and an answer that was lost doubles nothing", async () => {
  const { queue, shelf, office } = bench();
  office.mood = ["answer lost", "later"];
  for (const reading of ["1' 0\"", "2' 0\"", "3' 0\""]) await queue.add(shot(reading));
  await queue.send();
  const after = bench(shelf, office); // the tab is gone; another is opened over the same store
  office.mood = [];
  await after.queue.start();
  await after.queue.send();
  assert.deepEqual(office.rows.map(({ reading }) => reading), ["1' 0\"", "2' 0\"", "3' 0\""]);
  assert.equal(after.queue.status.sent, 3);
});

test("what the office does not speak of is not acknowledged, and waits on", async () => {
  const { queue, office, tick } = bench();
  office.mood = ["later", "silent"];
  for (const reading of ["1' 0\"", "2' 0\""]) await queue.add(shot(reading));
  await queue.send();
  await tick();
  assert.deepEqual([queue.status.waiting, queue.status.sent], [1, 1]);
  assert.match(queue.status.trouble, /not acknowledged/);
  await tick();
  assert.deepEqual([queue.status.waiting, office.rows.length], [0, 2]);
});

test("a refused reading is kept with its reason, until a person lets it go", async () => {
  const { queue, shelf, office } = bench();
  office.refuse.add("nine");
  const bad = shot("nine");
  await queue.add(bad);
  await queue.add(shot("5' 0\""));
  await queue.send();
  assert.deepEqual([queue.status.refused, queue.status.sent, office.rows.length], [1, 1, 1]);
  assert.equal(shelf.items.get(bad.uuid)?.problems[0]?.message, "is too long");
  await queue.tidy(0);
  assert.deepEqual([queue.status.refused, shelf.items.size], [1, 1]);
  await queue.letGo(bad.uuid);
  assert.equal(shelf.items.size, 0);
});

test("a full phone first forgets what is sent, then says that a reading lies in this tab alone", async () => {
  const { queue, shelf, office, tick } = bench();
  await queue.add(shot("1' 0\""));
  await queue.send();
  shelf.room = 1;
  office.mood = Array.from({ length: 3 }, () => "later" as const);
  assert.equal(await queue.add(shot("2' 0\"")), true, "the sent one made room");
  assert.equal(await queue.add(shot("3' 0\"")), false);
  await queue.send();
  assert.deepEqual([queue.status.unkept, queue.status.waiting], [1, 2]);
  shelf.room = 2;
  await tick();
  assert.equal(queue.status.unkept, 0, "kept as soon as there is room");
  assert.equal(shelf.items.size, 2);
  office.mood = [];
  queue.wake();
  await queue.send();
  assert.deepEqual(office.rows.map(({ reading }) => reading), ["1' 0\"", "2' 0\"", "3' 0\""]);
});

test("a reading that the phone never could keep still arrives", async () => {
  const { queue, shelf, office } = bench();
  shelf.room = 0;
  assert.equal(await queue.add(shot("1' 0\"")), false);
  await queue.send();
  assert.deepEqual([office.rows.length, queue.status.sent, queue.status.unkept], [1, 1, 0]);
});

test("a batch that is too large is sent in parts", async () => {
  const { queue, office } = bench();
  office.most = 7;
  office.mood = ["later"];
  for (let i = 0; i < 60; i++) await queue.add(shot(`${i}"`));
  queue.wake();
  await queue.send();
  assert.equal(office.rows.length, 60);
  assert.ok(Math.max(...office.batches) <= 7);
});

test("an unpaired phone keeps everything, says why, and does not try by itself", async () => {
  const { queue, office, waits } = bench();
  office.mood = ["stopped"];
  await queue.add(shot("1' 0\""));
  await queue.send();
  assert.deepEqual([queue.status.waiting, queue.status.trouble, waits], [1, "this phone is not paired any more", []]);
  queue.wake();
  await queue.send();
  assert.equal(queue.status.sent, 1);
});

test("the same uuid twice is one reading; many at once keep their order", async () => {
  const { queue, office } = bench();
  const one = shot("1' 0\"");
  await Promise.all([queue.add(one), queue.add(one)]);
  const rest = Array.from({ length: 200 }, (_, i) => shot(`${i} mm`));
  await Promise.all(rest.map((each) => queue.add(each)));
  await queue.send();
  await queue.send();
  assert.deepEqual(office.rows.map((row) => row.uuid), [one, ...rest].map((row) => row.uuid));
});

test("random trouble, killed tabs and full phones: each reading arrives once and only once", async () => {
  let seed = 7;
  const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
  const moods = ["answered", "later", "answer lost", "silent", "stopped"] as const;
  for (let day = 0; day < 30; day++) {
    const [shelf, office] = [new Shelf(), new Office()];
    const taken: string[] = [];
    let { queue } = bench(shelf, office);
    await queue.start();
    for (let i = 0; i < 25; i++) {
      office.mood = [moods[Math.floor(random() * moods.length)] ?? "later"];
      const next = shot(`${i} mm`);
      taken.push(next.uuid);
      await queue.add(next);
      if (random() < 0.2) {
        queue = bench(shelf, office).queue;
        await queue.start();
      }
    }
    office.mood = [];
    for (let i = 0; i < 4; i++) {
      queue.wake();
      await queue.send();
    }
    assert.deepEqual(office.rows.map((row) => row.uuid).sort(), taken.sort());
    assert.equal(queue.status.waiting, 0);
  }
});

test("the phone's own store keeps across openings, refuses a second of one uuid, and is all or none", async () => {
  const factory = new IDBFactory();
  const store = await indexedDbStore("rillwright", factory);
  const item = (n: number): Item => ({ uuid: `u${n}`, order: n, job: "j", row: shot(`${n}`), state: "waiting", problems: [] });
  await store.add(item(1));
  await assert.rejects(store.add(item(1)));
  await assert.rejects(store.put([item(2), { ...item(3), row: (() => 0) as unknown as Shot }]), "cannot be kept");
  const again = await indexedDbStore("rillwright", factory);
  assert.deepEqual((await again.all()).map(({ uuid }) => uuid), ["u1"]);
  await again.put([{ ...item(1), state: "sent" }, item(2)]);
  await again.remove(["u1"]);
  assert.deepEqual((await store.all()).map(({ uuid, state }) => [uuid, state]), [["u2", "waiting"]]);
});

test("a queue over the phone's own store survives its tab", async () => {
  const [factory, office] = [new IDBFactory(), new Office()];
  const open = async (): Promise<Queue> => {
    const store = await indexedDbStore("rillwright", factory);
    return new Queue({ job: "j", store, post: office.post, told: () => undefined, later: () => () => undefined });
  };
  office.mood = Array.from({ length: 9 }, () => "later" as const);
  const first = await open();
  for (const reading of ["1.000", "1.100", "1.200"]) assert.equal(await first.add(shot(reading)), true);
  office.mood = [];
  const second = await open();
  await second.start();
  await second.send();
  assert.deepEqual(office.rows.map(({ reading }) => reading), ["1.000", "1.100", "1.200"]);
});

test("a kit is kept by its name, across openings, and the newest counts", async () => {
  const factory = new IDBFactory();
  const kept = await indexedDbKept("rillwright-kept", factory);
  assert.equal(await kept.get("kit j"), undefined);
  await kept.put("kit j", { digest: "one" });
  await kept.put("kit j", { digest: "two" });
  assert.deepEqual(await (await indexedDbKept("rillwright-kept", factory)).get("kit j"), { digest: "two" });
});

test("what the office answers becomes one of four outcomes", async () => {
  const become = async (status: number, body: unknown): Promise<Posted> => {
    const fetcher = (): Promise<Response> =>
      Promise.resolve(new Response(typeof body === "string" ? body : JSON.stringify(body), { status }));
    return posting("a b", "shots", { token: "t", kit: () => "k", fetcher })([]);
  };
  assert.equal((await become(200, answer(["u"]))).outcome, "answered");
  assert.equal((await become(200, "<html>sign in to this network</html>")).outcome, "later");
  assert.equal((await become(200, { hello: 1 })).outcome, "later");
  assert.equal((await become(503, "")).outcome, "later");
  assert.equal((await become(413, "")).outcome, "smaller");
  assert.deepEqual(await become(401, { problems: [{ message: "this phone is not paired any more" }] }), {
    outcome: "stopped",
    words: "this phone is not paired any more",
  });
  const none = posting("j", "shots", { token: "", kit: () => "k", fetcher: () => Promise.reject(new TypeError("no network")) });
  assert.equal((await none([])).outcome, "later");
});

test("uuids are of version 4 without a secure page, and times bear their offset", () => {
  const made = new Set(Array.from({ length: 2000 }, () => uuid()));
  assert.equal(made.size, 2000);
  for (const one of made) assert.match(one, /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  const moment = new Date(Date.UTC(2026, 4, 4, 15, 30, 9));
  assert.equal(timeWithOffset(moment, -420), "2026-05-04T08:30:09-07:00");
  assert.equal(timeWithOffset(moment, 345), "2026-05-04T21:15:09+05:45");
  assert.equal(timeWithOffset(moment, 0), "2026-05-04T15:30:09+00:00");
});
