// The ticks of this phone on their way: kept first, sent by a queue of their own, so that neither they nor the readings wait
// for the other.
import type { Tick, TicksAnswer } from "../api.ts";
import { posting } from "../queue/post.ts";
import { Queue, type Status } from "../queue/queue.ts";
import { indexedDbStore } from "../queue/store.ts";

const REST = 200; // sent ticks that stay in the phone

export interface Office {
  readonly job: string;
  readonly token: string;
  readonly kit: () => string;
  readonly answered: (answer: TicksAnswer) => void;
}

export class Ticking {
  status = $state.raw<Status<Tick> | null>(null);
  answer = $state.raw<TicksAnswer | null>(null); // the last one
  private queue: Queue<Tick, TicksAnswer> | null = null;

  /** On their way still, in the order in which they were set. */
  get waiting(): readonly Tick[] {
    return (this.status?.items ?? []).filter(({ state }) => state === "waiting").map(({ row }) => row);
  }

  async open({ job, token, kit, answered }: Office): Promise<void> {
    this.queue = new Queue<Tick, TicksAnswer>({
      job,
      store: await indexedDbStore<Tick>("rillwright-ticks"),
      post: posting<Tick, TicksAnswer>(job, "ticks", { token, kit }),
      told: (now) => (this.status = now),
      answered: (answer) => {
        this.answer = answer;
        answered(answer);
      },
    });
    await this.queue.start();
    await this.queue.tidy(REST);
  }

  add(tick: Tick): void {
    void this.queue?.add(tick);
  }

  wake(): void {
    this.queue?.wake();
  }

  letGo(uuid: string): void {
    void this.queue?.letGo(uuid);
  }
}
