// The cases that Python wrote, which the phone must answer alike.
import { readFileSync } from "node:fs";
import { join } from "node:path";

const FOLDER = process.env["RILLWRIGHT_VECTORS"] ?? join(import.meta.dirname, "../../tests/vectors");

/** The cases of one file. */
export function cases<Case>(name: string): Case[] {
  return JSON.parse(readFileSync(join(FOLDER, `${name}.json`), "utf8")) as Case[];
}

/** Values as JSON has them: without what is undefined, and with plain objects only. */
export function plain(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value));
}
