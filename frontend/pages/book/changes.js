// Changes: what was altered about the pond or its kit, and whether it helped, in home's own honest sentences.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { standingOf } from "../../domain/fold.js";
import { standingJobs } from "../../domain/standing-jobs.js";
import { changeWords } from "../../words/kit-words.js";
import { PondPick } from "../../parts/fields.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { Workings } from "../../parts/workings.js";
import { takeBack } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { words } from "../../words.js";
import { ChangeForm } from "./change-form.js";
import { fullDate } from "../past/past-understood.js";
import { FishForm, StockForm } from "./fish-forms.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Effect} Effect */

const W = changeWords;
/** @type {Record<string, any>} */
const FORMS = { new: ChangeForm, fish: FishForm, stock: StockForm };

/** @param {{query: URLSearchParams}} props */
export function Changes({ query }) {
  const { plan, seen, pond } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (!plan || !here) return html`<main class="page"><header class="page-head"><h1>${W.title}</h1></header>
    <p class="empty">${W.none}</p></main>`;
  const form = [...query.keys()].find((name) => FORMS[name]);
  if (form) {
    const Form = FORMS[form];
    return html`<${Form} key=${`${form}/${here.id}`} plan=${plan} pond=${here} of=${query.get(form) || null}
      now_ms=${now_ms} />`;
  }
  const effects = plan.book?.find((one) => one.pond === here.id)?.effects ?? [];
  const judged = new Set(effects.map((one) => one.entry));
  const facts = standingOf(seen).filter(({ entry }) => entry.pond === here.id && entry.kind === "change").reverse();
  const fresh = facts.filter((one) => !judged.has(one.id));
  return html`<main class="page changes">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div>
      <a class="round-button" href="/changes?new">${W.add}</a></header>
    <div class="inset"><${PondPick} /></div>
    ${effects.length + fresh.length === 0 && html`<p class="empty">${W.none}</p>`}
    <section class="part"><div class="findings">
      ${fresh.map((one) => html`<${Fresh} key=${one.id} one=${one} pond=${here} now_ms=${now_ms} />`)}
      ${effects.map((one) => html`<${Judged} key=${one.entry} effect=${one} pond=${here}
        fact=${facts.find(({ id }) => id === one.entry)} />`)}</div></section>
    <nav class="part" aria-label=${W.elsewhere}><h2>${W.elsewhere}</h2><p class="picks">
      <a class="pick" href="/changes?fish">${W.fish}</a><a class="pick" href="/changes?stock">${W.stock}</a></p></nav>
  </main>`;
}

/** @param {{on: string, text: string, kit: string|null|undefined, pond: Pond, fact: Seen|undefined}} props */
function Head({ on, text, kit, pond, fact }) {
  const name = kit && (pond.kit?.find((one) => one.id === kit)?.name ?? kit);
  return html`<h2>${text}</h2><p class="quiet change-when"><span>${[fullDate(on), name]
    .filter(Boolean).join(" · ")}</span>
    ${fact ? html`<button type="button" class="text-button" aria-label=${`${words.card.take_back}: ${text}`}
        onClick=${() => takeBack(fact)}>${words.card.take_back}</button>`
      : html`<a class="text-link" href=${`/book?group=changes&pond=${pond.id}&since=${on}&until=${on}`}
        aria-label=${`${W.in_book}: ${text}`}>${W.in_book}</a>`}</p>
    ${fact?.entry.photos && html`<${PhotoStrip} sums=${fact.entry.photos} />`}`;
}

/** Written down on this device, not judged yet. @param {{one: Seen, pond: Pond, now_ms: number}} props */
function Fresh({ one, pond, now_ms }) {
  const { seen, plan } = useStore();
  const { text = "", kit, jobs = [], quantities = [] } = one.entry;
  const names = Object.fromEntries(standingJobs(seen, pond.id, civilDate(pond.zone, now_ms))
    .map((job) => [job.id, job.text]));
  const tells = [...jobs.map((id) => names[id] ?? id),
    ...quantities.map((of) => plan?.quantities.find((known) => known.quantity === of)?.label ?? of)];
  return html`<article class="finding"><${Head} on=${one.on} text=${text} kit=${kit} pond=${pond} fact=${one} />
    <p>${tells.length > 0 ? W.follows : W.nothing_tells}</p>
    ${tells.length > 0 && html`<p class="quiet">${W.telling(tells.join(", "))}</p>`}</article>`;
}

/** @param {{effect: Effect, pond: Pond, fact: Seen|undefined}} props */
function Judged({ effect, pond, fact }) {
  const said = /** @type {Record<string, string>} */ (W.said);
  return html`<article class="finding"><${Head} on=${effect.on} text=${effect.text} kit=${effect.kit} pond=${pond}
      fact=${fact} />
    ${effect.lines.length === 0 && html`<p>${W.nothing_tells}</p>`}
    ${effect.lines.map((one) => html`<div class="effect-line" key=${one.of}>
      <h3>${one.title}: ${said[one.found] ?? one.found}</h3><p>${one.says}</p><${Workings} workings=${one.workings} />
    </div>`)}</article>`;
}
