// Speaking with the service: one question, one answer, or why there is none.
import type { Problem, Refused } from "../api.ts";

const TOKEN = "rillwright-token";
const LONGEST_MS = 60_000; // papers take some seconds
const LONGEST_FILE_MS = 300_000; // a photo where there is little signal

/** Why there is no answer: refused in words, or `away`, where the service was not reached. */
export class NoAnswer extends Error {
  readonly status: number;
  readonly problems: readonly Problem[];
  constructor(status: number, problems: readonly Problem[]) {
    super(problems.map(said).join(" ") || `the service answers ${status}`);
    this.status = status;
    this.problems = problems;
  }
  get away(): boolean {
    return this.status === 0;
  }
}

/** A problem as a sentence. */
export function said({ message, field, words, found, allowed, file, line }: Problem): string {
  const at = [file && (line === null ? file : `${file} line ${line}`), words || field].filter(Boolean).join(", ");
  return [at && `${at}:`, message, found && `(found ${found})`, allowed && `- allowed: ${allowed}`].filter(Boolean).join(" ") + ".";
}

export function token(): string {
  try {
    return localStorage.getItem(TOKEN) ?? "";
  } catch {
    return ""; // a browser that keeps nothing
  }
}

async function sent(path: string, body: unknown): Promise<Response> {
  const own = token();
  const headers: Record<string, string> = own ? { authorization: `Bearer ${own}` } : {};
  const file = body instanceof Blob;
  if (body !== undefined) headers["content-type"] = file ? "application/octet-stream" : "application/json";
  let answer: Response;
  try {
    answer = await fetch(`/api/${path}`, {
      method: body === undefined ? "GET" : "POST",
      headers,
      signal: AbortSignal.timeout(file ? LONGEST_FILE_MS : LONGEST_MS),
      ...(body === undefined ? {} : { body: file ? body : JSON.stringify(body) }),
    });
  } catch {
    const message = "the office is not reached: is its service running, and is there signal";
    throw new NoAnswer(0, [{ message, file: "", line: null, column: null, field: "", found: "", allowed: "" }]);
  }
  if (answer.ok) return answer;
  const told = (await answer.json().catch(() => null)) as Partial<Refused> | null;
  throw new NoAnswer(answer.status, Array.isArray(told?.problems) ? told.problems : []);
}

/** GET without a body, POST with one: a file as it is, all else as JSON. */
export async function ask<T>(path: string, body?: unknown): Promise<T> {
  return (await (await sent(path, body)).json()) as T;
}

export const askText = async (path: string, body?: unknown): Promise<string> => (await sent(path, body)).text();
export const askFile = async (path: string, body?: unknown): Promise<Blob> => (await sent(path, body)).blob();

/** With the code of the square in the address, this device is paired and its token kept; the code leaves the address. */
export async function pair(name: string): Promise<void> {
  const { token: own } = await ask<{ token: string; who: string }>("pair", { code: inAddress("pair"), name });
  localStorage.setItem(TOKEN, own);
  history.replaceState(null, "", location.pathname);
}

/** What stands in the address behind its #, as `#job=demo`; empty where it does not. */
export const inAddress = (key: string): string => new URLSearchParams(location.hash.slice(1)).get(key) ?? "";

export const jobPath = (job: string): string => `jobs/${encodeURIComponent(job)}`;
