// Takes out of the lock what names a place on the net: the versions and their digests are all that a build needs.
import { readFileSync, writeFileSync } from "node:fs";

const file = new URL("package-lock.json", import.meta.url);
const lock = JSON.parse(readFileSync(file, "utf8")) as { packages: Record<string, Record<string, unknown>> };
for (const entry of Object.values(lock.packages)) {
  delete entry["funding"];
  delete entry["resolved"];
}
writeFileSync(file, JSON.stringify(lock, null, 2) + "\n");
