// A random uuid (version 4, RFC 9562) and the time with its offset. A page on plain http is given no
// `crypto.randomUUID`, but random numbers it has.

export function uuid(random: (bytes: Uint8Array<ArrayBuffer>) => Uint8Array = (bytes) => crypto.getRandomValues(bytes)): string {
  const bytes = random(new Uint8Array(16));
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** A moment in ISO 8601, to the second, with the offset of the place where the phone is. */
export function timeWithOffset(moment: Date, minutesEast = -moment.getTimezoneOffset()): string {
  const local = new Date(moment.getTime() + minutesEast * 60_000).toISOString().slice(0, 19);
  const [hours, minutes] = [Math.floor(Math.abs(minutesEast) / 60), Math.abs(minutesEast) % 60];
  const two = (number: number): string => String(number).padStart(2, "0");
  return `${local}${minutesEast < 0 ? "-" : "+"}${two(hours)}:${two(minutes)}`;
}
