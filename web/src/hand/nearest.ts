// Which number a finger means: numbers are small, fingers are not.

export interface Place {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export const REACH_PX = 28; // half of the smallest key: a number is as easily met as one

/** How far a point lies from a place; nothing inside it. */
export function distance(x: number, y: number, { left, right, top, bottom }: Place): number {
  return Math.hypot(Math.max(left - x, 0, x - right), Math.max(top - y, 0, y - bottom));
}

/** The nearest of some places within reach of a point; -1 where there is none. */
export function nearest(x: number, y: number, places: readonly Place[], reach = REACH_PX): number {
  let [found, least] = [-1, reach];
  for (const [index, place] of places.entries()) {
    const far = distance(x, y, place);
    if (far < least || (far === least && found < 0)) [found, least] = [index, far];
  }
  return found;
}
