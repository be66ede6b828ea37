// Elements by their names: no path is shown to a person.
import type { Finding } from "../api.ts";

/** The element that a finding speaks of, in words. */
export function nameOf({ parameters, element }: Finding): string {
  const name = parameters.find((one) => one.name === "name")?.value;
  return typeof name === "string" ? name : element;
}
