// Keeps the pages at hand where a browser allows it (https, or the same machine). The newest answer of the server
// comes first; without one, what was kept last. What is asked of the API is never kept: the queue sees to readings.
const KEPT = "rillwright-pages";
const PAGES = ["./", "./index.html", "./visit.html", "./job.html", "./day.html", "./sans.woff2"];

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(PAGES))); // the page that asked for it was loaded before
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname.includes("/api/")) return;
  event.respondWith(newestOrKept(event.request));
});

async function newestOrKept(request) {
  const kept = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (answer.ok) await kept.put(request, answer.clone());
    return answer;
  } catch (failure) {
    const before = await kept.match(request, { ignoreSearch: true });
    if (before) return before;
    throw failure;
  }
}
