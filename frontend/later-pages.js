// Pages whose code is a second script, later.js: fetched when one of them is first wanted, so that the round comes
// sooner. The worker keeps it with the rest, so it is there without signal too.
import { update } from "./store.js";

/** Its sum, filled in by the server: code of another build than this page's is refused, and the page asks to reload. */
const SUM = "__LATER__";

/** @type {Record<string, any>} */
const pages = {};
let asked = false;

/** @param {Record<string, any>} more by name */
export function givePages(more) {
  Object.assign(pages, more);
  update(() => ({ later: "here" }));
}

/** The page of that name; nothing while its code is not here. @param {string} name */
export function laterPage(name) {
  return pages[name];
}

export function fetchLater() {
  if (asked) return;
  asked = true;
  const script = document.createElement("script");
  Object.assign(script, { type: "module", src: "/later.js", integrity: SUM });
  script.addEventListener("error", () => update(() => ({ later: "failed" })));
  document.head.append(script);
}
