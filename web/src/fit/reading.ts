// Reads whole numbers, spans and choices out of a JSON object and gathers everything that is wrong on the way.
import type { Span } from "./problem.ts";

export interface FitFault {
  readonly message: string;
  readonly field: string;
  readonly allowed: string;
}

/** A problem that cannot be asked, with every reason at once. */
export class FitRefusal extends Error {
  readonly faults: readonly FitFault[];

  constructor(faults: readonly FitFault[]) {
    super(faults.map(({ field, message, allowed }) => `${field}: ${message}; allowed: ${allowed}`).join("\n"));
    this.faults = faults;
  }
}

const isWhole = (value: unknown): value is number => Number.isSafeInteger(value);
const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** One JSON object under reading: asks for fields by name, answers with the default where one cannot be used. */
export class Reader {
  private readonly path: string;
  private readonly faults: FitFault[];
  private readonly asked = new Set<string>();
  private readonly inner: Reader[] = [];
  private readonly data: Record<string, unknown>;

  constructor(data: unknown, path = "", faults: FitFault[] = []) {
    this.path = path;
    this.faults = faults;
    this.data = isObject(data) ? data : {};
    if (!isObject(data)) this.report(path, data, "an object with named fields");
  }

  has(name: string): boolean {
    this.asked.add(name);
    return this.value(name) !== undefined && this.value(name) !== null;
  }

  whole(name: string, missing: number, needed = false): number {
    const value = this.maybeWhole(name);
    if (value === null && needed && !this.has(name)) this.report(this.name(name), null, "a whole number");
    return value ?? missing;
  }

  maybeWhole(name: string): number | null {
    if (!this.has(name)) return null;
    const value = this.value(name);
    if (isWhole(value)) return value;
    this.report(this.name(name), value, "a whole number");
    return null;
  }

  span(name: string, missing: Span): Span {
    return this.maybeSpan(name) ?? missing;
  }

  /** A pair of whole numbers, or null where it is left out or null; one number stands for both. */
  maybeSpan(name: string): Span | null {
    if (!this.has(name)) return null;
    const value = this.value(name);
    if (isWhole(value)) return [value, value];
    if (Array.isArray(value) && value.length === 2 && isWhole(value[0]) && isWhole(value[1])) return [value[0], value[1]];
    this.report(this.name(name), value, "a whole number, or [low, high]");
    return null;
  }

  choice<Word extends string>(
    name: string,
    words: readonly Word[],
    { default: missing, needed }: { default: Word; needed: boolean },
  ): Word {
    if (!this.has(name)) {
      if (needed) this.report(this.name(name), null, words.join(" | "));
      return missing;
    }
    const found = words.find((word) => word === this.value(name));
    if (found === undefined) this.report(this.name(name), this.value(name), words.join(" | "));
    return found ?? missing;
  }

  position(name: string): number | "last" {
    this.asked.add(name);
    const value = this.value(name);
    if (value === "last" || isWhole(value)) return value;
    this.report(this.name(name), value, "1, 2, ... | last");
    return "last";
  }

  parts(name: string): Reader[] {
    if (!this.has(name)) return [];
    const value = this.value(name);
    if (!Array.isArray(value)) {
      this.report(this.name(name), value, "a list");
      return [];
    }
    const readers = value.map((part, index) => new Reader(part, `${this.name(name)}[${index}]`, this.faults));
    this.inner.push(...readers);
    return readers;
  }

  /** Report fields that nobody asked for, and throw if anything was wrong. */
  close(): void {
    this.reportUnknown();
    if (this.faults.length > 0) throw new FitRefusal(this.faults);
  }

  private reportUnknown(): void {
    for (const name of Object.keys(this.data)) {
      if (this.asked.has(name)) continue;
      const allowed = [...this.asked].sort().join(", ");
      this.faults.push({ message: "unknown field", field: this.name(name), allowed });
    }
    for (const inner of this.inner) inner.reportUnknown();
  }

  private value(name: string): unknown {
    return Object.hasOwn(this.data, name) ? this.data[name] : undefined;
  }

  private name(name: string): string {
    return this.path ? `${this.path}.${name}` : name;
  }

  private report(field: string, value: unknown, allowed: string): void {
    const missing = value === null || value === undefined;
    this.faults.push({ message: missing ? "missing" : "cannot be used", field, allowed });
  }
}
