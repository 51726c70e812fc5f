// The way out. If a worker ever goes wrong, this file is served in its place as /sw.js: it empties what
// the app cached, takes itself off every device that visits, and reloads the open pages from the server.
// Entries are in IndexedDB and stay.
self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => event.waitUntil(retire()));

async function retire() {
  const names = (await caches.keys()).filter((name) => name.startsWith("evenwater-"));
  await Promise.all(names.map((name) => caches.delete(name)));
  await self.registration.unregister();
  for (const page of await self.clients.matchAll({ type: "window" })) page.navigate(page.url);
}
