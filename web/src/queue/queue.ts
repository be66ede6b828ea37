// Readings, or ticks, on their way: kept in the phone first, then sent until the service acknowledged each by its uuid.
//
// Nothing leaves the phone's store on its own account but what was acknowledged. A reading that the phone cannot keep
// (its store is full) stays in this tab, is said to, is sent all the same, and is kept as soon as there is room.
import type { ShotsAnswer, Shot } from "../api.ts";
import type { Post, Settled } from "./post.ts";
import type { Item, Row, Store } from "./store.ts";

const MOST_AT_ONCE = 50;
const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 60_000;

export interface Status<R extends Row = Shot> {
  readonly items: readonly Item<R>[]; // in the order in which they were taken
  readonly waiting: number;
  readonly sent: number;
  readonly refused: number;
  readonly unkept: number; // only in this tab: closing it would lose them
  readonly trouble: string; // why they wait, in words; empty where nothing is wrong
  readonly wait_ms: number | null; // until it tries again by itself
}

export interface Outside<R extends Row = Shot, A extends Settled = ShotsAnswer> {
  readonly job: string;
  readonly store: Store<R>;
  readonly post: Post<R, A>;
  readonly told: (status: Status<R>) => void;
  readonly answered?: (answer: A) => void;
  readonly later?: (work: () => void, ms: number) => () => void; // returns how to call it off
  readonly random?: () => number;
}

const onClock = (work: () => void, ms: number): (() => void) => {
  const timer = setTimeout(work, ms);
  return () => clearTimeout(timer);
};

export class Queue<R extends Row = Shot, A extends Settled = ShotsAnswer> {
  private readonly outside: Required<Outside<R, A>>;
  private items = new Map<string, Item<R>>();
  private readonly unkept = new Set<string>();
  private readonly keeping = new Map<string, Promise<boolean>>();
  private most = MOST_AT_ONCE;
  private failures = 0;
  private trouble = "";
  private waitMs: number | null = null;
  private callOff: () => void = () => undefined;
  private sending: Promise<void> | null = null;
  private stopped = false;

  constructor(outside: Outside<R, A>) {
    this.outside = { later: onClock, random: Math.random, answered: () => undefined, ...outside };
  }

  /** What an earlier tab left behind is taken up, and sent. */
  async start(): Promise<void> {
    const found = (await this.outside.store.all()).filter(({ job }) => job === this.outside.job);
    for (const item of found) if (!this.items.has(item.uuid)) this.items.set(item.uuid, item);
    this.tell();
    this.wake();
  }

  /**
   * Takes a reading or a tick; true once the phone keeps it, false where it lies in this tab alone. Either way it is on its way.
   * The same uuid a second time changes nothing.
   */
  async add(row: R): Promise<boolean> {
    if (this.items.has(row.uuid)) return (await this.keeping.get(row.uuid)) ?? !this.unkept.has(row.uuid);
    const order = Math.max(0, ...[...this.items.values()].map((item) => item.order)) + 1;
    const item: Item<R> = { uuid: row.uuid, order, job: this.outside.job, row, state: "waiting", problems: [] };
    this.items.set(item.uuid, item);
    const keeping = this.keep(item);
    this.keeping.set(item.uuid, keeping);
    const kept = await keeping;
    this.keeping.delete(item.uuid);
    if (!kept) this.unkept.add(item.uuid);
    this.tell();
    this.wake();
    return kept;
  }

  /** Try now: there is signal again, the tab is looked at again, or the phone was paired anew. */
  wake(): void {
    this.failures = 0;
    this.stopped = false;
    this.callOff();
    this.waitMs = null;
    void this.send();
  }

  /** Sends until nothing waits or something is in the way. */
  send(): Promise<void> {
    this.sending ??= this.sendAll().finally(() => {
      this.sending = null;
      if (this.waiting().length > 0 && this.waitMs === null && !this.stopped) void this.send();
    });
    return this.sending;
  }

  /** A person has seen why these were refused, and has taken them anew or lets them go. */
  async letGo(uuid: string): Promise<void> {
    if (this.items.get(uuid)?.state !== "refused") return;
    await this.outside.store.remove([uuid]);
    this.items.delete(uuid);
    this.unkept.delete(uuid);
    this.tell();
  }

  /** Makes room: forgets what the service has, but for the newest `rest`. */
  async tidy(rest: number): Promise<void> {
    const sent = this.ordered().filter(({ state }) => state === "sent");
    const old = sent.slice(0, Math.max(0, sent.length - rest)).map(({ uuid }) => uuid);
    if (old.length === 0) return;
    await this.outside.store.remove(old);
    for (const uuid of old) {
      this.items.delete(uuid);
      this.unkept.delete(uuid);
    }
    this.tell();
  }

  get status(): Status<R> {
    const items = this.ordered();
    const many = (state: Item<R>["state"]): number => items.filter((item) => item.state === state).length;
    return {
      items,
      waiting: many("waiting"),
      sent: many("sent"),
      refused: many("refused"),
      unkept: [...this.unkept].filter((uuid) => this.items.get(uuid)?.state === "waiting").length,
      trouble: this.trouble,
      wait_ms: this.waitMs,
    };
  }

  private async sendAll(): Promise<void> {
    this.callOff();
    this.waitMs = null;
    await this.keepWhatIsNot();
    for (let batch = this.waiting(); batch.length > 0; batch = this.waiting()) {
      const sent = batch.slice(0, this.most);
      const posted = await this.outside.post(sent.map(({ row }) => row)).catch(
        (error: unknown) => ({ outcome: "later", words: String(error) }) as const,
      );
      if (posted.outcome === "answered") {
        const settled = await this.settle(sent, posted.answer);
        if (!settled) return this.tryLater("the office has not acknowledged all that was sent");
      } else if (posted.outcome === "smaller" && this.most > 1) {
        this.most = Math.max(1, Math.floor(this.most / 2));
      } else if (posted.outcome === "stopped") {
        this.stopped = true;
        this.trouble = posted.words;
        return this.tell();
      } else {
        return this.tryLater(posted.outcome === "later" ? posted.words : "one of them is too large for the office");
      }
    }
    this.trouble = "";
    this.tell();
  }

  /** Marks what the answer speaks of; false where it is silent about some, which then wait on. */
  private async settle(batch: readonly Item<R>[], answer: A): Promise<boolean> {
    const acknowledged = new Set(answer.acknowledged);
    const refused = new Map(answer.refused.map(({ uuid, problems }) => [uuid, problems]));
    const settled = batch.flatMap((item): Item<R>[] => {
      if (acknowledged.has(item.uuid)) return [{ ...item, state: "sent" }];
      const problems = refused.get(item.uuid);
      return problems ? [{ ...item, state: "refused", problems }] : [];
    });
    for (const item of settled) this.items.set(item.uuid, item);
    try {
      await this.outside.store.put(settled.filter(({ uuid, state }) => state !== "sent" || !this.unkept.has(uuid)));
    } catch {
      // It stays as waiting in the store: after a new start it is sent once more, and the service knows it by its uuid.
    }
    if (settled.length > 0) {
      this.failures = 0;
      this.trouble = "";
    }
    this.outside.answered(answer);
    this.tell();
    return settled.length === batch.length;
  }

  private tryLater(words: string): void {
    this.trouble = words;
    const doubled = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(this.failures, 16));
    this.failures += 1;
    this.waitMs = Math.round(doubled * (0.5 + 0.5 * this.outside.random())); // so that twenty phones do not come at once
    this.callOff = this.outside.later(() => void this.send(), this.waitMs);
    this.tell();
  }

  private async keep(item: Item<R>): Promise<boolean> {
    try {
      await this.outside.store.add(item);
      return true;
    } catch {
      await this.tidy(0).catch(() => undefined);
    }
    return await this.outside.store.put([item]).then(
      () => true,
      () => false,
    );
  }

  private async keepWhatIsNot(): Promise<void> {
    for (const uuid of this.unkept) {
      const item = this.items.get(uuid);
      if (item && item.state !== "sent" && !(await this.keep(item))) return;
      this.unkept.delete(uuid);
    }
  }

  private waiting(): Item<R>[] {
    return this.ordered().filter(({ state }) => state === "waiting");
  }

  private ordered(): Item<R>[] {
    return [...this.items.values()].sort((a, b) => a.order - b.order);
  }

  private tell(): void {
    this.outside.told(this.status);
  }
}
