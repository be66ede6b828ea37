// A history between its times: which two rows a moment lies between, and the water of them as paths. Nothing else is worked out.
import type { Motion, Point, Strip } from "../api.ts";

const WET_MM = 0.02; // thinner than this on paper a bed is dry

/** The row before a moment and how far it is on the way to the next one, 0 to 1. */
export function between(times: readonly number[], time: number): { row: number; next: number; share: number } {
  const last = times.length - 1;
  let row = times.findIndex((each) => each > time) - 1;
  if (row === -2) row = last;
  if (row < 0) return { row: 0, next: 0, share: 0 };
  const [from, to] = [times[row] ?? 0, times[row + 1] ?? 0];
  return row >= last ? { row: last, next: last, share: 0 } : { row, next: row + 1, share: (time - from) / (to - from) };
}

export const mixed = (from: number, to: number, share: number): number => from + (to - from) * share;

/** The values of all columns at a moment. */
export function columns(rows: readonly (readonly number[])[], at: ReturnType<typeof between>): number[] {
  const to = rows[at.next] ?? [];
  return (rows[at.row] ?? []).map((level, index) => mixed(level, to[index] ?? level, at.share));
}

const point = (x: number, y: number): string => `${x.toFixed(2)} ${y.toFixed(2)}`;
export const line = (points: readonly Point[]): string => `M${points.map(([x, y]) => point(x, y)).join("L")}`;

/** The water over one bed: what it fills, and its surface where the bed is wet. */
export function water({ first, x, bed }: Strip, levels: readonly number[]): { wash: string; surface: string } {
  const level = bed.map((ground, index) => Math.min(levels[first + index] ?? ground, ground));
  const over = x.map((at, index) => point(at, level[index] ?? 0));
  const under = x.map((at, index) => point(at, bed[index] ?? 0)).reverse();
  let surface = "";
  let on = false;
  for (const [index, words] of over.entries()) {
    const wet = (bed[index] ?? 0) - (level[index] ?? 0) > WET_MM;
    if (wet) surface += `${on ? "L" : "M"}${words}`;
    on = wet;
  }
  return { wash: `M${[...over, ...under].join("L")}Z`, surface };
}

/** The next moment at which something happens; the end where there is none. */
export const nextMoment = ({ moments, lasted_s }: Motion, time: number): number => moments.find(({ time_s }) => time_s > time + 0.5)?.time_s ?? lasted_s;
