// One batch to the service, and what became of it.
import { FORMAT, type Refused, type Shot, type ShotsAnswer } from "../api.ts";
import { said } from "../talk/ask.ts";
import type { Row } from "./store.ts";

/** What every answer to a batch says: each uuid is in exactly one of the two. */
export type Settled = Pick<ShotsAnswer, "acknowledged" | "refused">;

/**
 * answered: the service says of each what became of it. later: it cannot now (no signal, restart, too busy).
 * smaller: it takes no batch so large. stopped: it will not as things stand (not paired, another format), in words.
 */
export type Posted<A extends Settled = ShotsAnswer> =
  | { readonly outcome: "answered"; readonly answer: A }
  | { readonly outcome: "later"; readonly words: string }
  | { readonly outcome: "smaller" }
  | { readonly outcome: "stopped"; readonly words: string };

export type Post<R extends Row = Shot, A extends Settled = ShotsAnswer> = (rows: readonly R[]) => Promise<Posted<A>>;

interface Way {
  readonly token: string;
  readonly kit: () => string; // by which it answers now
  readonly fetcher?: typeof fetch;
}

const LONGEST_MS = 20_000;
const LATER = new Set([408, 425, 429, 500, 502, 503, 504, 507]);

/** Posts to the job's shots or ticks, with the token of this phone. */
export function posting<R extends Row = Shot, A extends Settled = ShotsAnswer>(job: string, what: "shots" | "ticks", { token, kit, fetcher = fetch }: Way): Post<R, A> {
  return async (rows) => {
    const body = { format: FORMAT, kit: kit(), [what]: rows };
    let answer: Response;
    try {
      answer = await fetcher(`/api/jobs/${encodeURIComponent(job)}/${what}`, {
        method: "POST",
        headers: { "content-type": "application/json", ...(token ? { authorization: `Bearer ${token}` } : {}) },
        body: JSON.stringify(body),
        signal: AbortSignal.timeout(LONGEST_MS),
      });
    } catch {
      return { outcome: "later", words: "no signal" };
    }
    return await become<A>(answer);
  };
}

async function become<A extends Settled>(answer: Response): Promise<Posted<A>> {
  if (answer.status === 413) return { outcome: "smaller" };
  if (LATER.has(answer.status)) return { outcome: "later", words: `the office answers ${answer.status}` };
  let told: unknown;
  try {
    told = await answer.json();
  } catch {
    return { outcome: "later", words: "the answer was cut off" };
  }
  if (answer.ok && isAnswer<A>(told)) return { outcome: "answered", answer: told };
  if (answer.ok) return { outcome: "later", words: "something else than the office answers here" };
  return { outcome: "stopped", words: words(told) ?? `the office refuses with ${answer.status}` };
}

function isAnswer<A extends Settled>(told: unknown): told is A {
  const lists = told as Partial<Settled> | null;
  return Array.isArray(lists?.acknowledged) && Array.isArray(lists.refused);
}

function words(told: unknown): string | undefined {
  const problems = (told as Partial<Refused> | null)?.problems;
  return Array.isArray(problems) ? (problems as Refused["problems"]).map((one) => said(one).replace(/\.$/, "")).join("; ") : undefined;
}
