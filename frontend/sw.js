// The offline shell. The server fills in the list of files with their sums, so a change in any file
// makes a new worker; a file is kept only when its sum is right, so a hotel's sign-in page never is.
//
// - Nothing under /api/, no POST and none of the server's own pages passes through here.
// - A new worker waits until a person accepts it: an old page never runs on new files.
// - Unchanged files are copied from the cache before; one earlier generation is kept. What came before the line broke
//   need not come again.
const FILES = __MANIFEST__;
const BUILD = "__BUILD__";
const CACHE = "evenwater-" + BUILD;
const OURS = "evenwater-";
const LEFT_ALONE = ["/api/", "/health", "/schema", "/print", "/trust", "/feed/", "/unsubscribe/", "/on-it/",
  "/season-report", "/year-ring"];
const PATHS = new Set(FILES.map(([path]) => path));
importScripts("/sw-push.js");

self.addEventListener("install", (event) => event.waitUntil(fill()));

async function fill() {
  const cache = await caches.open(CACHE);
  await Promise.all(FILES.map(([path, sum]) => keep(cache, path, sum)));
}

async function keep(cache, path, sum) {
  const marked = path + "#" + sum;
  const before = await fromBefore(path, sum);
  const asked = (cache) => fetch(path, { cache, integrity: sum, redirect: "error" });
  // What the page has just loaded need not come twice, if the server says it is still so and its sum is right.
  const response = before || (await asked("no-cache").catch(() => asked("no-store")));
  if (!response.ok) throw new Error(marked + " answered " + response.status);
  // The body is decoded already; what the network said about its packing is no longer true.
  const headers = new Headers(response.headers);
  headers.delete("content-encoding");
  headers.delete("content-length");
  headers.set("x-sum", sum);
  await cache.put(path, new Response(await response.blob(), { headers }));
}

async function fromBefore(path, sum) {
  for (const name of await generations()) {
    const found = await (await caches.open(name)).match(path);
    if (found && found.headers.get("x-sum") === sum) return found;
  }
  return undefined;
}

async function generations() {
  return (await caches.keys()).filter((name) => name.startsWith(OURS));
}

self.addEventListener("activate", (event) => event.waitUntil(forget().then(() => self.clients.claim())));

async function forget() {
  const names = (await generations()).filter((name) => name !== CACHE);
  await Promise.all(names.slice(0, -1).map((name) => caches.delete(name)));
}

self.addEventListener("message", (event) => {
  if (event.data && event.data.type === "take-over") self.skipWaiting();
  if (event.data && event.data.type === "care") event.waitUntil(self.clients.claim());
  if (event.data && event.data.type === "build" && event.ports[0]) event.ports[0].postMessage(BUILD);
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (LEFT_ALONE.some((path) => url.pathname.startsWith(path))) return;
  const path = request.mode === "navigate" && !url.pathname.includes(".") ? "/" : url.pathname;
  if (PATHS.has(path)) event.respondWith(serve(path, request));
});

async function serve(path, request) {
  const kept = await (await caches.open(CACHE)).match(path);
  return kept || fetch(request);
}
