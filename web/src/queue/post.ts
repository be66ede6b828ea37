// One batch to the service, and what became of it.
import { FORMAT, type Refused, type Shot, type ShotsAnswer, type ShotsSent } from "../api.ts";

/**
 * answered: the service says of each what became of it. later: it cannot now (no signal, restart, too busy).
 * smaller: it takes no batch so large. stopped: it will not as things stand (not paired, another format), in words.
 */
export type Posted =
  | { readonly outcome: "answered"; readonly answer: ShotsAnswer }
  | { readonly outcome: "later"; readonly words: string }
  | { readonly outcome: "smaller" }
  | { readonly outcome: "stopped"; readonly words: string };

export type Post = (shots: readonly Shot[]) => Promise<Posted>;

const LONGEST_MS = 20_000;
const LATER = new Set([408, 425, 429, 500, 502, 503, 504, 507]);

/** Posts to the job's shots, with the token of this phone; `kit` says by which kit it answers now. */
export function posting(job: string, { token, kit, fetcher = fetch }: { token: string; kit: () => string; fetcher?: typeof fetch }): Post {
  return async (shots) => {
    const body: ShotsSent = { format: FORMAT, kit: kit(), shots };
    let answer: Response;
    try {
      answer = await fetcher(`/api/jobs/${encodeURIComponent(job)}/shots`, {
        method: "POST",
        headers: { "content-type": "application/json", ...(token ? { authorization: `Bearer ${token}` } : {}) },
        body: JSON.stringify(body),
        signal: AbortSignal.timeout(LONGEST_MS),
      });
    } catch {
      return { outcome: "later", words: "no signal" };
    }
    return await become(answer);
  };
}

async function become(answer: Response): Promise<Posted> {
  if (answer.status === 413) return { outcome: "smaller" };
  if (LATER.has(answer.status)) return { outcome: "later", words: `the office answers ${answer.status}` };
  let told: unknown;
  try {
    told = await answer.json();
  } catch {
    return { outcome: "later", words: "the answer was cut off" };
  }
  if (answer.ok && isAnswer(told)) return { outcome: "answered", answer: told };
  if (answer.ok) return { outcome: "later", words: "something else than the office answers here" };
  return { outcome: "stopped", words: words(told) ?? `the office refuses with ${answer.status}` };
}

function isAnswer(told: unknown): told is ShotsAnswer {
  const lists = told as Partial<ShotsAnswer> | null;
  return Array.isArray(lists?.acknowledged) && Array.isArray(lists.refused);
}

function words(told: unknown): string | undefined {
  const problems = (told as Partial<Refused> | null)?.problems;
  return Array.isArray(problems) ? (problems as Refused["problems"]).map(({ message }) => message).join("; ") : undefined;
}
