// Pages whose code is a second script, later.js: fetched when one of them is first wanted, so that the round comes
// sooner. The worker keeps it with the rest, so it is there without signal too.
import { update } from "./store.js";

/** Their sums, filled in by the server: files of another build than this page's are refused, and it asks to reload. */
const SUM = "__LATER__";
/** How long at most: a worker may never come, in a private window for one. */
const WAITS_MS = 10_000;
const STYLES_SUM = "__LATER_STYLES__";

/** @type {Record<string, any>} */
const pages = {};
let asked = false;
let styled = false;
let failed = false;

/** @param {Record<string, any>} more by name */
export function givePages(more) {
  Object.assign(pages, more);
  if (styled && !failed) update(() => ({ later: "here" }));
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
  const [sheet, script] = [document.createElement("link"), document.createElement("script")];
  Object.assign(sheet, { rel: "stylesheet", href: "/styles/later.css", integrity: STYLES_SUM });
  Object.assign(script, { type: "module", src: "/later.js", integrity: SUM });
  sheet.addEventListener("load", () => {
    styled = true;
    givePages({});
  });
  const fail = () => {
    failed = true;
    update(() => ({ later: "failed" }));
  };
  for (const one of [sheet, script]) one.addEventListener("error", fail);
  document.head.append(sheet, script);
}
