// Notifications, as part of the worker (sw.js asks for this file): each is shown as home wrote it. The browser wants
// one for every message, so what cannot be read still says that there is something.
self.addEventListener("push", (event) => event.waitUntil(show(told(event.data))));

function told(data) {
  try {
    const { title, body, tag, link, on_it } = data.json();
    if (typeof title === "string") return { title, body: String(body || ""), tag: String(tag || ""), link, on_it };
  } catch {
    // Said below.
  }
  return { title: "evenwater", body: "Something came that this version cannot read. Open the round.", tag: "unread" };
}

async function show({ title, body, tag, link, on_it }) {
  const actions = on_it ? [{ action: "on_it", title: "I am on it" }] : [];
  const icon = "/icons/drop-192.png";
  await self.registration.showNotification(title, { body, tag, icon, badge: icon, actions, data: { link, on_it } });
}

self.addEventListener("notificationclick", (event) => {
  const { link, on_it } = event.notification.data || {};
  event.notification.close();
  event.waitUntil(event.action === "on_it" && on_it ? self.clients.openWindow(ownPath(on_it)) : open(ownPath(link)));
});

function ownPath(path) {
  const url = new URL(path || "/round", self.location.origin);
  return url.origin === self.location.origin ? url.pathname + url.search : "/round";
}

// A page that is open comes to the front and goes there by itself: it may hold something half typed.
async function open(path) {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const ours = pages.find((page) => !LEFT_ALONE.some((other) => new URL(page.url).pathname.startsWith(other)));
  if (!ours) return self.clients.openWindow(path);
  ours.postMessage({ type: "open", path });
  return ours.focus().catch(() => undefined);
}
