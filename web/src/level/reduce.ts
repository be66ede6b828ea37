// How levels run through a day's readings: each set-up hangs on one known mark, each mark on the set-up that first
// read it. Exact, and without corrections: what closes badly is shown, and taken up when the server has it.
import { minus, plus, read, textOf, times, type Rational } from "../exact/rational.ts";
import { heightOfInstrument, levelBy, readingM, rodNamed, sign, type Rod } from "./rod.ts";

export type Sight = "backsight" | "intermediate" | "foresight";

export interface ReadingRow {
  readonly setup: string;
  readonly point: string;
  readonly surface: string | null; // null: mark for what carries a level, else ground
  readonly sight: Sight;
  readonly rod: string;
  readonly reading: string;
}

export interface Reduced {
  readonly setups: readonly { name: string; height: string | null; benchmark: string | null }[];
  readonly rows: readonly { point: string; surface: string; level: string | null }[]; // each row by its own set-up
  readonly levels: readonly { point: string; surface: string; level: string }[]; // as first read or held
  readonly gaps: readonly Gap[];
}

/** What was read twice: in the same set-up, from another one on what carries a level, or from another elsewhere. */
export interface Gap {
  readonly kind: "again" | "closing" | "check";
  readonly row: number;
  readonly earlier: number | null;
  readonly gap: string; // new less old
}

interface Shot {
  row: number;
  spot: string;
  sight: Sight;
  value: Rational;
}

interface Station {
  index: number;
  name: string;
  rod: Rod;
  shots: Shot[];
  height: Rational | null;
  anchor: Shot | null;
}

const key = (point: string, surface: string): string => JSON.stringify([point, surface]);

/** Levels of everything that was read; `held` are marks of known level, as exact text in metres. */
export function reduce(rows: readonly ReadingRow[], held: Readonly<Record<string, string>>): Reduced {
  const spots = spotsOf(rows, held);
  const stations = stationsOf(rows, spots);
  const shots = stations.flatMap((station) => station.shots);
  const levels = new Map<string, Rational>();
  const seen = new Set(rows.map((row) => row.point));
  for (const [point, level] of Object.entries(held))
    if (seen.has(point)) levels.set(spots.of(point, null), read(level));
  const links = new Set([
    ...levels.keys(),
    ...shots.filter((s) => s.sight === "backsight" || s.spot.endsWith(',"mark"]')).map((s) => s.spot),
  ]);
  const gaps: Gap[] = [];
  for (let next = hanging(stations, links, levels); next; next = hanging(stations, links, levels))
    place(next, { links, levels, gaps });
  return told(rows, spots, { stations, levels, gaps });
}

interface Spots {
  of(point: string, surface: string | null): string;
}

/** Without a surface: the one surface typed elsewhere for the point, else mark or ground. */
function spotsOf(rows: readonly ReadingRow[], held: Readonly<Record<string, string>>): Spots {
  const typed = new Map<string, Set<string>>();
  const carriers = new Set([...Object.keys(held), ...rows.filter((r) => r.sight === "backsight").map((r) => r.point)]);
  for (const { point, surface } of rows) {
    const found = typed.get(point) ?? new Set();
    if (surface !== null) found.add(surface);
    typed.set(point, found);
  }
  return {
    of(point, surface) {
      const [only, ...others] = typed.get(point) ?? [];
      const untyped = only !== undefined && others.length === 0 ? only : carriers.has(point) ? "mark" : "ground";
      return key(point, surface ?? untyped);
    },
  };
}

function stationsOf(rows: readonly ReadingRow[], spots: Spots): Station[] {
  const stations = new Map<string, Station>();
  rows.forEach((row, index) => {
    const rod = rodNamed(row.rod);
    const name = JSON.stringify([row.setup, rod.direct]);
    const station =
      stations.get(name) ??
      { index: stations.size, name: row.setup + (rod.direct ? " (laser)" : ""), rod, shots: [], height: null, anchor: null };
    stations.set(name, station);
    const value = readingM(row.reading, rod);
    station.shots.push({ row: index, spot: spots.of(row.point, row.surface), sight: row.sight, value });
  });
  return [...stations.values()];
}

/** The next set-up that hangs on something known: one with a backsight on it before others, else the first. */
function hanging(stations: readonly Station[], links: ReadonlySet<string>, levels: ReadonlyMap<string, Rational>) {
  const known = (shot: Shot): boolean => links.has(shot.spot) && levels.has(shot.spot);
  const open = stations.filter((station) => station.height === null);
  return (
    open.find((station) => station.shots.some((shot) => known(shot) && shot.sight === "backsight")) ??
    open.find((station) => station.shots.some(known))
  );
}

interface Known {
  readonly links: ReadonlySet<string>;
  readonly levels: Map<string, Rational>;
  readonly gaps: Gap[];
}

/** Give a set-up its height of instrument and the spots it reads their levels. */
function place(station: Station, { links, levels, gaps }: Known): void {
  const known = station.shots.filter((shot) => links.has(shot.spot) && levels.has(shot.spot));
  const anchor = known.find((shot) => shot.sight === "backsight") ?? known[0];
  const held = anchor && levels.get(anchor.spot);
  if (!anchor || !held) throw new Error("a set-up was taken up that hangs on nothing");
  const height = heightOfInstrument(held, anchor.value, station.rod);
  station.height = height;
  station.anchor = anchor;
  const levelOf = (shot: Shot): Rational => levelBy(height, shot.value, station.rod);
  const say = (kind: Gap["kind"], shot: Shot, gap: Rational, earlier: Shot | null): void => {
    gaps.push({ kind, row: shot.row, earlier: earlier?.row ?? null, gap: textOf(gap) });
  };
  const last = new Map([[anchor.spot, anchor]]);
  let passed = false;
  for (const shot of station.shots) {
    if (shot === anchor) {
      passed = true;
      continue;
    }
    const earlier = last.get(shot.spot);
    const level = levelOf(shot);
    const before = levels.get(shot.spot);
    if (earlier && (shot.spot !== anchor.spot || passed)) say("again", shot, minus(level, levelOf(earlier)), earlier);
    else if (earlier) say("again", anchor, minus(levelOf(anchor), level), shot); // read before its backsight
    else if (before) say(links.has(shot.spot) ? "closing" : "check", shot, minus(level, before), null);
    else levels.set(shot.spot, level);
    if (passed || shot.spot !== anchor.spot) last.set(shot.spot, shot);
  }
}

function told(
  rows: readonly ReadingRow[],
  spots: Spots,
  { stations, levels, gaps }: { stations: readonly Station[]; levels: ReadonlyMap<string, Rational>; gaps: Gap[] },
): Reduced {
  const byRow = new Map<number, string | null>();
  for (const { shots, height, rod } of stations)
    for (const shot of shots)
      byRow.set(shot.row, height && textOf(plus(height, times(sign(rod), shot.value))));
  const named = (spot: string): { point: string; surface: string } => {
    const [point = "", surface = ""] = JSON.parse(spot) as string[];
    return { point, surface };
  };
  return {
    setups: stations.map(({ name, height, anchor }) => ({
      name,
      height: height && textOf(height),
      benchmark: anchor && named(anchor.spot).point,
    })),
    rows: rows.map((row, index) => ({
      ...named(spots.of(row.point, row.surface)),
      level: byRow.get(index) ?? null,
    })),
    levels: [...levels].map(([spot, level]) => ({ ...named(spot), level: textOf(level) })),
    gaps,
  };
}
