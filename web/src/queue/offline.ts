// Makes a page live on without signal, as far as the browser allows it where the page came from.

/**
 * reload: the page opens again without signal (https, or the same machine). tab: only as long as this tab stays open, as
 * on plain http in a local network; a person must be told to leave it open.
 */
export type Endurance = "reload" | "tab";

/** Asks the browser to keep the page and its readings; says how long the page lives without signal. */
export async function endure(worker = "./sw.js"): Promise<Endurance> {
  await navigator.storage?.persist?.().catch(() => false);
  if (!window.isSecureContext || !("serviceWorker" in navigator)) return "tab";
  try {
    await navigator.serviceWorker.register(worker);
    return "reload";
  } catch {
    return "tab";
  }
}
