// The best arrangements in order, without walking them all: backward, the least cost to finish from every (drops made,
// steps used); forward, a best-first walk led by those costs. Siblings are opened one by one, in their order.
import { at, leftOver, sizeOf, type Frame, type Window } from "./frame.ts";
import { Heap } from "./heap.ts";
import { dropTerms, leftTerms, packed, termBits } from "./preference.ts";
import { KINDS, type FitProblem, type Kind } from "./problem.ts";

type Entry = readonly [steps: number, kind: number, goesOn: number];

interface Choice {
  readonly through: bigint; // least cost of finishing through this drop
  readonly entry: Entry;
  readonly own: bigint;
}

/** Least steps of a window, then for each drop in it cost and entry. */
interface Offer {
  readonly low: number;
  readonly costs: readonly bigint[];
  readonly entries: readonly Entry[];
}

interface Open {
  readonly cost: bigint;
  readonly path: readonly Entry[];
  readonly spent: bigint;
  readonly choices: readonly Choice[];
  readonly index: number;
}

/**
 * The `best` sequences of new drops as (kind, marking steps), least cost first. Ties go by the drops from the head:
 * the smaller first, a ripple before a fall, a sequence before its longer one.
 */
export function bestSequences(problem: FitProblem, frame: Frame, best: number): [Kind, number][][] {
  if (sizeOf(frame) === 0 || best === 0) return [];
  // Whole steps left over cost most of all, so wherever enough arrangements leave none, no other needs a look.
  const most = frame.mostLeft === null ? frame.step - 1 : Math.min(frame.mostLeft, frame.step - 1);
  const found = bestFirst(new Table(problem, { ...frame, mostLeft: most }), best);
  return found.length === best ? found : bestFirst(new Table(problem, frame), best);
}

function compareEntries(a: Entry, b: Entry): number {
  return a[0] - b[0] || a[1] - b[1] || a[2] - b[2];
}

const compareBig = (a: bigint, b: bigint): number => (a < b ? -1 : a > b ? 1 : 0);

function compareOpen(a: Open, b: Open): number {
  const byCost = compareBig(a.cost, b.cost);
  if (byCost !== 0) return byCost;
  for (let i = 0; i < Math.min(a.path.length, b.path.length); i++) {
    const byEntry = compareEntries(a.path[i] as Entry, b.path[i] as Entry);
    if (byEntry !== 0) return byEntry;
  }
  return a.path.length - b.path.length;
}

function bestFirst(table: Table, best: number): [Kind, number][][] {
  const heap = new Heap<Open>(compareOpen);
  const open = (path: readonly Entry[], spent: bigint, choices: readonly Choice[], index: number): void => {
    const choice = choices[index];
    if (choice === undefined || choice.through >= table.hopeless) return;
    heap.push({ cost: spent + choice.through, path: [...path, choice.entry], spent, choices, index });
  };
  open([], 0n, table.choices(0, 0), 0);
  const found: [Kind, number][][] = [];
  while (found.length < best) {
    const next = heap.pop();
    if (next === undefined) break;
    const { path, spent, choices, index } = next;
    open(path.slice(0, -1), spent, choices, index + 1);
    const used = path.reduce((total, [steps]) => total + steps, 0);
    if (path.at(-1)?.[2]) open(path, spent + (choices[index] as Choice).own, table.choices(path.length, used), 0);
    else found.push(path.map(([steps, kind]) => [KINDS[kind] as Kind, steps]));
  }
  return found;
}

/** Least cost to finish, by drops made and steps used; `hopeless` or more where nothing finishes. */
class Table {
  readonly hopeless: bigint; // costs may be negative, so what never finishes may stand a little below `never`
  private readonly problem: FitProblem;
  private readonly frame: Frame;
  private readonly size: number;
  private readonly bits: bigint;
  private readonly never: bigint;
  private readonly ends = new Map<number, bigint[]>();
  private readonly last = new Map<number, Offer[]>();
  private readonly inner = new Map<number, Offer[]>();
  private readonly finish = new Map<number, bigint[]>();
  private readonly known = new Map<string, Choice[]>();

  constructor(problem: FitProblem, frame: Frame) {
    this.problem = problem;
    this.frame = frame;
    this.size = sizeOf(frame);
    this.bits = termBits(problem);
    this.never = 1n << (this.bits * 8n);
    this.hopeless = this.never >> 1n;
    const most = frame.numbers.at(-1) ?? 0;
    for (const n of frame.numbers) {
      this.ends.set(n, this.endRow(n));
      this.last.set(n, this.offers(at(frame.last, n), 0));
    }
    for (let n = frame.first + 1; n < most; n++) this.inner.set(n, this.offers(at(frame.inner, n), 1));
    for (let made = most - 1; made > frame.first; made--) this.finish.set(made, this.finishRow(made));
  }

  /** The next drops after `count` new ones that took `used` steps, best first, hopeless ones at the end. */
  choices(count: number, used: number): readonly Choice[] {
    const made = this.frame.first + count;
    const key = `${made} ${used}`;
    const before = this.known.get(key);
    if (before) return before;
    const found: Choice[] = [];
    for (const [offers, row] of this.ways(made + 1))
      for (const { low, costs, entries } of offers)
        costs.forEach((own, i) => {
          const rest = row[used + low + i];
          if (rest !== undefined) found.push({ through: own + rest, entry: entries[i] as Entry, own });
        });
    found.sort((a, b) => compareBig(a.through, b.through) || compareEntries(a.entry, b.entry));
    this.known.set(key, found);
    return found;
  }

  /** What drop `number` may be, as the last one and as one that others follow, each with the costs after it. */
  private *ways(number: number): Generator<[Offer[], bigint[]]> {
    for (const [offers, rows] of [[this.last, this.ends], [this.inner, this.finish]] as const) {
      const [drops, row] = [offers.get(number), rows.get(number)];
      if (drops && row) yield [drops, row];
    }
  }

  /** Least cost to finish for every number of steps used, with `made` drops made. */
  private finishRow(made: number): bigint[] {
    const row = Array.from({ length: this.size }, () => this.never);
    for (const [offers, after] of this.ways(made + 1)) {
      const hopeful = [...after.keys()].filter((steps) => (after[steps] as bigint) < this.hopeless);
      for (const { low, costs } of offers)
        for (const end of hopeful) {
          const rest = after[end] as bigint;
          for (let i = Math.max(0, end - low - this.size + 1); i < costs.length && end - low - i >= 0; i++) {
            const through = (costs[i] as bigint) + rest;
            const used = end - low - i;
            if (through < (row[used] as bigint)) row[used] = through;
          }
        }
    }
    return row;
  }

  private endRow(number: number): bigint[] {
    const { step } = this.problem;
    const whole = packed(leftTerms(this.problem, step), this.bits);
    return leftOver(this.frame, number).map((left) =>
      left >= 0
        ? BigInt(Math.floor(left / step)) * whole + packed(leftTerms(this.problem, left % step), this.bits)
        : this.never,
    );
  }

  private offers(windows: readonly Window[], goesOn: number): Offer[] {
    return windows.map(({ kind, low, high }) => {
      const steps = Array.from({ length: high - low + 1 }, (_, i) => low + i);
      const terms = steps.map((s) => dropTerms(this.problem, kind, s * this.problem.step, !goesOn));
      return {
        low,
        costs: terms.map((term) => packed(term, this.bits)),
        entries: steps.map((s): Entry => [s, KINDS.indexOf(kind), goesOn]),
      };
    });
  }
}
