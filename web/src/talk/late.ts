// A part of the screens that is loaded when it is asked for. The page's policy names its digest: another one does not run.

const loading = new Map<string, Promise<unknown>>();

/** What the script of that file hands out under that name. */
export function late<T>(file: string, name: string): Promise<T> {
  const found = loading.get(file) ?? loaded(file, name);
  loading.set(file, found);
  found.catch(() => loading.delete(file)); // asked again, it is tried again
  return found as Promise<T>;
}

async function loaded(file: string, name: string): Promise<unknown> {
  const answer = await fetch(`./${file}`).catch(() => null);
  if (!answer?.ok) throw new Error("that part of the page is not reached: is the office's service running, and is there signal");
  const script = document.createElement("script");
  script.textContent = await answer.text();
  document.head.append(script);
  const found = (globalThis as Record<string, unknown>)[name];
  if (!found) throw new Error("that part of the page is another than the page itself: load the page anew");
  return found;
}
