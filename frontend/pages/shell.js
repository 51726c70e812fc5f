// The frame around every page: the sync line, what must be said, the page, the tabs.
import { html, useEffect, useErrorBoundary } from "../ui.js";
import { fetchLater, laterPage } from "../later-pages.js";
import { GoingOn } from "../parts/going-on.js";
import { Icon } from "../parts/icons.js";
import { SyncLine, UpdateBanner } from "../parts/sync-line.js";
import { zoneOf } from "../record.js";
import { follow, usePlace } from "../router.js";
import { update, useStore } from "../store.js";
import { canWorkOffline } from "../updates.js";
import { words } from "../words.js";
import { FirstStart, SignIn, Waiting } from "./sign-in.js";
import { Round } from "./round/round.js";

/** Those not here come with the second script. @type {Record<string, any>} */
const PAGES = { round: Round, "sign-in": SignIn };
/** Which tab a page belongs to. @type {Record<string, string>} */
const TAB_OF = {
  past: "water", device: "book", pond: "book", "sign-in": "book", jobs: "book", kit: "book", changes: "book",
  scores: "book", "hand-overs": "book", reach: "book", report: "book", year: "round", "to-tell": "round",
};
const TABS = ["round", "water", "warmth", "fish", "book"];

export function Shell() {
  const { said, ready } = useStore();
  return html`<div class="shell" onClick=${follow}>
    ${ready && html`<${Frame} />`}
    <p class="unseen" role="status" aria-live="polite">${said}</p>
  </div>`;
}

function Frame() {
  const { access, person, plan } = useStore();
  const place = usePlace();
  const [error] = useErrorBoundary((/** @type {Error} */ fault) => console.error(fault));
  const title = /** @type {Record<string, string>} */ (words.titles)[place.page] ?? words.titles.round;
  useEffect(() => { document.title = `${title} · evenwater`; }, [title]);
  if (error) return html`<main class="page"><p class="notice act" role="alert">${words.broken}</p>
    <p class="centre"><a class="plain-button" href="/print">${words.print}</a></p></main>`;
  // A helper's phone, or one that is asked to become one: all of it is in the second script.
  if (place.page === "h" || person?.hand_over || access === "over") {
    return html`<${Later} page="helper" query=${place.query} at=${place.page} />`;
  }
  if (!person && access === "first_start") return html`<${FirstStart} />`;
  if (!person) return access === "unknown" ? html`<${Waiting} />` : html`<${SignIn} />`;
  const new_here = plan && plan.starter.length > 0 && plan.days.every((day) => day.jobs.length === 0);
  // A server begun anew knows nobody: whoever is to sign in begins it.
  const pages = access === "first_start" ? { ...PAGES, "sign-in": FirstStart } : PAGES;
  const shown = new_here && place.page === "round" && !place.query.has("wrong") ? "first-pond" : place.page;
  const Page = pages[shown];
  return html`
    <header class="top"><${SyncLine} zone=${zoneOf()} insecure=${!canWorkOffline} /></header>
    <${GoingOn} />
    <${Trouble} />
    <${UpdateBanner} />
    ${Page ? html`<${Page} query=${place.query} />` : html`<${Later} page=${shown} query=${place.query} />`}
    <${Tabs} page=${place.page} />`;
}

/** @param {{page: string, query: URLSearchParams, at?: string}} props */
function Later({ page, query, at }) {
  const { later } = useStore();
  useEffect(fetchLater, []);
  const Page = laterPage(page);
  if (Page) return html`<${Page} query=${query} at=${at} />`;
  if (later !== "failed") return html`<main class="page"><p class="empty coming" role="status">${words.later.comes}</p>
    </main>`;
  return html`<main class="page"><p class="empty" role="alert">${words.later.failed}</p>
    <p class="centre"><button type="button" class="plain-button"
      onClick=${() => location.reload()}>${words.later.again}</button></p></main>`;
}

export function Trouble() {
  const { trouble } = useStore();
  if (!trouble) return null;
  return html`<div class="notice act" role="alert"><p>${trouble}</p>
    <button type="button" class="plain-button"
      onClick=${() => update(() => ({ trouble: null }))}>${words.storage.understood}</button></div>`;
}

/** @param {{page: string}} props */
function Tabs({ page }) {
  const here = TAB_OF[page] ?? page;
  const names = /** @type {Record<string, string>} */ (words.tabs);
  return html`<nav class="tabs" aria-label=${words.tabs.main}>${TABS.map((tab) => html`<a key=${tab} href=${`/${tab}`}
    aria-current=${tab === here ? "page" : undefined}><${Icon} name=${tab} /><span>${names[tab]}</span></a>`)}</nav>`;
}
