// Pages whose code is a second script, later.js: fetched when one of them is first wanted, so that the round comes
// sooner. The worker keeps it with the rest, so it is there without signal too.
import { update } from "./store.js";

/** Their sums, filled in by the server: files of another build than this page's are refused, and it asks to reload. */
const SUM = "__LATER__";
/** How long at most: a worker may never come, in a private window for one. */
const WAITS_MS = 10_000;
const STYLES_SUM = "__LATER_STYLES__";
const AGAIN_MS = 30_000;
const AGAIN_AT_MOST_MS = 300_000;

/** @type {Record<string, any>} */
const pages = {};
let asked = false;
let given = false;
let styled = false;

/** @param {Record<string, any>} more by name */
export function givePages(more) {
  Object.assign(pages, more);
  given = true;
  tell();
}

function tell() {
  if (given && styled) update(() => ({ later: "here" }));
}

/** The page of that name; nothing while its code and its style are not here. @param {string} name */
export function laterPage(name) {
  return styled ? pages[name] : undefined;
}

/** What is only a part of a page can wait until the worker has it, which fetches it too: so it comes once over a poor
 * signal, after the round's own data. */
export function fetchLaterSoon() {
  const worker = globalThis.isSecureContext ? navigator.serviceWorker : undefined;
  if (!worker || worker.controller) fetchLater();
  else {
    worker.addEventListener("controllerchange", fetchLater, { once: true });
    setTimeout(fetchLater, WAITS_MS);
  }
}

export function fetchLater() {
  if (asked) return;
  asked = true;
  bring("script", { type: "module", integrity: SUM }, "src", "/later.js");
  const onload = () => {
    styled = true;
    tell();
  };
  bring("link", { rel: "stylesheet", integrity: STYLES_SUM, onload }, "href", "/styles/later.css");
}

/** What does not come is asked for again, with growing pauses and when there is signal: alone, since code that is here
 * runs once; by another address, since a browser may remember of a module that it failed.
 * @param {"script"|"link"} kind @param {Record<string, any>} about @param {string} at @param {string} path */
function bring(kind, about, at, path, nth = 0) {
  const one = Object.assign(document.createElement(kind), about, { [at]: nth ? `${path}?${nth}` : path });
  one.onerror = async () => {
    one.remove();
    update(() => ({ later: "failed" }));
    await new Promise((on) => {
      setTimeout(on, Math.min(AGAIN_MS * 2 ** nth, AGAIN_AT_MOST_MS));
      addEventListener("online", on, { once: true });
    });
    bring(kind, about, at, path, nth + 1);
  };
  document.head.append(one);
}
