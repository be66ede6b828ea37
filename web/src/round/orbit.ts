// Going round a thing: from where it is looked at, by turns, steps and pinches. Angles in degrees, lengths in metres.

/** `turn` is the bearing that one looks along (0 north, 90 east), `tilt` how steeply down, `away` how far off. */
export interface Eye {
  readonly turn: number;
  readonly tilt: number;
  readonly away: number;
  readonly at: Place; // what is looked at
}

/** x east, y up, z south, as in the file. */
export type Place = readonly [x: number, y: number, z: number];

export interface Room {
  readonly least: Place;
  readonly most: Place;
}

export const [LOWEST, STEEPEST] = [2, 89];
const FIRST = { turn: 25, tilt: 34 }; // over the shoulder of who stands south of it
const STEP = { turn: 15, tilt: 8, nearer: 0.8 };
export const HALF_VIEW = 0.3; // tangent of half the angle of view, up and down
const EDGE = 1.04; // a little paper round it
const [NEAREST, FARTHEST] = [0.05, 4]; // shares of the size of what is seen

const held = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), most);
const radians = (degrees: number): number => (degrees * Math.PI) / 180;

export const sizeOf = ({ least, most }: Room): number => Math.max(1e-3, Math.hypot(most[0] - least[0], most[1] - least[1], most[2] - least[2]));

/** From where all of a room is seen, heights drawn so many times, in a picture so many times as wide as it is high. */
export function first(room: Room, wide: number, tall = 1): Eye {
  const at = middle(room);
  const [sin, cos] = [Math.sin(radians(FIRST.turn)), Math.cos(radians(FIRST.turn))];
  const [rise, run] = [Math.sin(radians(FIRST.tilt)), Math.cos(radians(FIRST.tilt))];
  let away = 0;
  for (let corner = 0; corner < 8; corner++) {
    const [x, y, z] = ([0, 1, 2] as const).map((axis) => (corner & (1 << axis) ? room.most : room.least)[axis] - at[axis]) as [number, number, number];
    const [right, on, up] = [x * cos + z * sin, x * sin - z * cos, y * tall];
    const [deep, high] = [on * run - up * rise, on * rise + up * run];
    away = Math.max(away, Math.abs(right) / (HALF_VIEW * wide) - deep, Math.abs(high) / HALF_VIEW - deep);
  }
  return { ...FIRST, at, away: Math.max(EDGE * away, NEAREST * sizeOf(room)) };
}

export function middle({ least, most }: Room): Place {
  return [(least[0] + most[0]) / 2, (least[1] + most[1]) / 2, (least[2] + most[2]) / 2];
}

/** Where the eye is. */
export function placeOf({ turn, tilt, away, at }: Eye): Place {
  const flat = away * Math.cos(radians(tilt));
  return [at[0] - flat * Math.sin(radians(turn)), at[1] + away * Math.sin(radians(tilt)), at[2] + flat * Math.cos(radians(turn))];
}

/** Turned by a drag over so many shares of the picture's height: what is under the finger goes with it. */
export function dragged(eye: Eye, right: number, down: number): Eye {
  return { ...eye, turn: around(eye.turn + 180 * right), tilt: held(eye.tilt + 120 * down, LOWEST, STEEPEST) };
}

/** Moved aside by shares of the picture's height, along the ground. */
export function moved(eye: Eye, right: number, down: number, room: Room): Eye {
  const [side, on] = [-right * 2 * HALF_VIEW * eye.away, (down * 2 * HALF_VIEW * eye.away) / Math.max(0.3, Math.sin(radians(eye.tilt)))];
  const [sin, cos] = [Math.sin(radians(eye.turn)), Math.cos(radians(eye.turn))];
  const x = held(eye.at[0] + side * cos + on * sin, room.least[0], room.most[0]);
  const z = held(eye.at[2] + side * sin - on * cos, room.least[2], room.most[2]);
  return { ...eye, at: [x, eye.at[1], z] };
}

/** So many times as far away. */
export const nearer = (eye: Eye, times: number, room: Room): Eye => ({ ...eye, away: held(eye.away * times, NEAREST * sizeOf(room), FARTHEST * sizeOf(room)) });

const around = (turn: number): number => ((turn % 360) + 360) % 360;

/** What a key does, by its name; null where it does nothing. `all` is from where all of it is seen. */
export function keyed(eye: Eye, key: string, room: Room, all: () => Eye): Eye | null {
  switch (key) {
    case "ArrowLeft":
      return { ...eye, turn: around(eye.turn - STEP.turn) };
    case "ArrowRight":
      return { ...eye, turn: around(eye.turn + STEP.turn) };
    case "ArrowUp":
      return { ...eye, tilt: held(eye.tilt + STEP.tilt, LOWEST, STEEPEST) };
    case "ArrowDown":
      return { ...eye, tilt: held(eye.tilt - STEP.tilt, LOWEST, STEEPEST) };
    case "+":
    case "=":
      return nearer(eye, STEP.nearer, room);
    case "-":
      return nearer(eye, 1 / STEP.nearer, room);
    case "Home":
      return all();
    default:
      return null;
  }
}
