/** What the service tells of running water: as it stands in the routes of api.ts, types alone. */
import type { NumberAt } from "../api.ts";

/** A text, and where in it which number stands; its name is what POST number asks with. */
export interface Worded {
  readonly text: string;
  readonly numbers: readonly NumberAt[];
}

/** Rows under heads; a row without a path is a part of the one above it. */
export interface WaterRows {
  readonly over: string;
  readonly heads: readonly string[];
  readonly rows: readonly { readonly path: string; readonly main: boolean; readonly cells: readonly Worded[] }[];
  readonly notes: readonly Worded[];
}

/** GET jobs/{job}/water, and POST jobs/{job}/try/water with Edits. `reason` says why nothing is known of the water. */
export interface WaterTold {
  readonly runs: readonly {
    readonly id: string;
    readonly path: string;
    readonly called: string;
    readonly said: readonly Worded[];
    readonly facts: readonly { readonly label: string; readonly value: Worded; readonly note: Worded }[];
    readonly tables: readonly WaterRows[];
  }[];
  readonly streams: readonly {
    readonly id: string;
    readonly path: string;
    readonly called: string;
    readonly said: readonly Worded[];
    readonly crests: WaterRows;
    readonly beds: WaterRows;
  }[];
  readonly reason: string;
}
