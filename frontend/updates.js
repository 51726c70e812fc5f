// The service worker: registered, listened to, and replaced only when a person says so.
import { flush } from "./live.js";
import { update } from "./store.js";
import { go, isHalfTyped, letTypingGo } from "./router.js";

/** @type {ServiceWorkerRegistration|null} */
let registration = null;
let reloaded = false;
let taken = false;
let wanted = false;
/** When to look for a new version by the clock. */
const EVERY_MS = 3_600_000;
const AGAIN_MS = 5_000;
const AGAIN_AT_MOST_MS = 300_000;
/** @type {ReturnType<typeof setTimeout>|undefined} */
let next;

/** True where the app can open without signal. */
export const canWorkOffline = "serviceWorker" in navigator && globalThis.isSecureContext;

export async function watchForUpdates() {
  if (!canWorkOffline) return;
  let cared = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data?.type === "open" && typeof data.path === "string") go(data.path);
  });
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // No worker at all: the browser cleared what it kept for us, and this page holds what is left.
    if (!navigator.serviceWorker.controller) return;
    // The very first worker takes this page under its care without a reload: nothing on it changes.
    const first = !cared;
    cared = true;
    if (first || reloaded) return;
    // Another tab took the update while something is half typed here: all of this page's code is loaded,
    // so it can go on until its person says so.
    taken = true;
    if (isHalfTyped() && !wanted) update(() => ({ update_ready: true }));
    else reload();
  });
  registration = await register();
  announce(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const coming = registration?.installing;
    coming?.addEventListener("statechange", () => coming.state === "installed" && announce(coming));
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") lookForUpdate();
  });
  next = setTimeout(lookForUpdate, EVERY_MS);
  const { active, waiting } = await navigator.serviceWorker.ready;
  // A page that was on its way while the worker took those that were there is cared for by none, until it asks. Not
  // while a newer version waits: this page may be of that one.
  if (!navigator.serviceWorker.controller && !waiting) active?.postMessage({ type: "care" });
}

/** The first worker fetches all it keeps before it is there. Where the line is too poor for that it is asked for again,
 * with growing pauses and when there is signal: a page that stays open all day must not stay without one. What it has
 * fetched by then, it keeps. @returns {Promise<ServiceWorkerRegistration>} */
async function register() {
  for (let pause_ms = AGAIN_MS; ; pause_ms = Math.min(2 * pause_ms, AGAIN_AT_MOST_MS)) {
    const made = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" }).catch(() => null);
    if (made && (await isWhole(made))) return made;
    await new Promise((on) => {
      setTimeout(on, pause_ms);
      addEventListener("online", on, { once: true });
    });
  }
}

/** Whether it has a worker, once the one that is coming is there or has given up.
 * @param {ServiceWorkerRegistration} made @returns {Promise<boolean>} */
function isWhole({ active, waiting, installing }) {
  if (active || waiting || !installing) return Promise.resolve(Boolean(active || waiting));
  return new Promise((on) => installing.addEventListener("statechange", () => on(installing.state !== "redundant")));
}

/** Ask home for a newer worker: when the page comes into sight, and by the clock for a tablet on a wall, which never
 * leaves it. A call that fails is tried once more soon, since home may just be starting.
 * @param {number} [again_ms] */
async function lookForUpdate(again_ms = AGAIN_MS) {
  const answered = await registration?.update().then(() => true, () => false);
  clearTimeout(next);
  next = answered ? setTimeout(lookForUpdate, EVERY_MS) : setTimeout(lookForUpdate, again_ms, EVERY_MS);
}

function reload() {
  reloaded = true;
  location.reload();
}

/** @param {ServiceWorker|null} worker */
function announce(worker) {
  if (worker && navigator.serviceWorker.controller) update(() => ({ update_ready: true }));
}

/** Send what waits, then let the new version take over; every tab reloads once. */
export async function takeUpdate() {
  wanted = true;
  letTypingGo();
  await flush();
  if (taken) reload();
  else registration?.waiting?.postMessage({ type: "take-over" });
}
