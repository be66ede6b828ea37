// What was taped at a hold point: read from the note of its tick, and whether it is to be asked about, as the service does.
import type { KitTape, Taped } from "../api.ts";
import { readLength } from "../exact/length.ts";

const PHOTO = "photo "; // how a note begins that names a picture

export function tapedDoubt(note: string, { wanted_m, within_m }: KitTape): Taped {
  const text = note.split("; ").filter((part) => !part.startsWith(PHOTO)).join("; ").trim(); // prettier-ignore
  if (!text || (wanted_m === null && !/[0-9]/.test(text))) return "no figure";
  if (wanted_m === null) return "";
  try {
    const { m } = readLength(text);
    if (m.top < 0n) return "no length";
    return Math.abs(Number(m.top) / Number(m.bottom) - wanted_m) > (within_m ?? Infinity) ? "off" : "";
  } catch {
    return "no length";
  }
}
