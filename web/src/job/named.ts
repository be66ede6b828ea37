// Elements by their names: no path is shown to a person.
import type { Finding } from "../api.ts";

/** The element that a finding speaks of, in words. */
export function nameOf({ parameters, element }: Finding): string {
  const name = parameters.find((one) => one.name === "name")?.value;
  return typeof name === "string" ? name : element;
}

/** Names in a row, a noun said once for all that follow it: bed b1, b2 and b8. */
export function listed(names: readonly string[]): string {
  let before = "";
  const said = [...new Set(names)].map((name) => {
    const noun = name.slice(0, Math.max(name.lastIndexOf(" "), 0));
    const known = noun !== "" && noun !== "the" && noun === before;
    before = noun;
    return known ? name.slice(noun.length + 1) : name;
  });
  return said.length < 2 ? (said[0] ?? "") : `${said.slice(0, -1).join(", ")} and ${said.at(-1)}`;
}
