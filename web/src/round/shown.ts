// What the late part of the screens hands out: a thing shown in three dimensions, and what can be done with it.

export interface Shown {
  readonly names: readonly string[]; // of the surfaces that there are
  show(names: readonly string[]): void;
  tall(times: number): void; // heights drawn so many times as large
  key(key: string): boolean; // whether that key did something
  choose(path: string): void;
  colours(): void; // read anew, where the page went from light to dark
  leave(): void;
}

export interface Wanted {
  readonly canvas: HTMLCanvasElement;
  readonly file: ArrayBuffer;
  readonly onpart: (path: string) => void; // which element was touched
  readonly onturn: (degrees: number) => void; // which way one looks: 0 is north, 90 east
  readonly onlost: (lost: boolean) => void; // the browser took the drawing away, or gave it back
}

export interface Round {
  /** Null where the browser does not draw in three dimensions. */
  readonly showRound: (wanted: Wanted) => Shown | null;
}
