// Kit: each pump, filter and cartridge with its hours, litres, services and spares; and the way to its forms.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { standingOf } from "../../domain/fold.js";
import { standingJobs } from "../../domain/standing-jobs.js";
import { number, shortDate } from "../../formats.js";
import { jobsWords } from "../../words/jobs-words.js";
import { kitWords } from "../../words/kit-words.js";
import { EntryLine } from "../../parts/entry-line.js";
import { PondPick } from "../../parts/fields.js";
import { useNow, useStore } from "../../store.js";
import { volumeUnit } from "../../units.js";
import { fullDate } from "../past/past-understood.js";
import { KitForm, MeterForm, ServiceForm } from "./kit-forms.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").KitItem} KitItem */
/** @typedef {import("../../domain/types.js").KitState} KitState */

const W = kitWords;
/** @type {Record<string, any>} */
const FORMS = { item: KitForm, new: KitForm, meter: MeterForm, service: ServiceForm };
/** What was written down lately stands on the card itself, to be taken back. */
const FEW = 3;

/** @param {{query: URLSearchParams}} props */
export function Kit({ query }) {
  const { plan, pond } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (!plan || !here) return html`<main class="page"><header class="page-head"><h1>${W.title}</h1></header>
    <p class="empty">${W.no_plan}</p></main>`;
  const form = [...query.keys()].find((name) => FORMS[name]);
  if (form) {
    const Form = FORMS[form];
    return html`<${Form} key=${`${form}/${query.get(form)}/${here.id}`} plan=${plan} pond=${here}
      of=${query.get(form) || null} now_ms=${now_ms} />`;
  }
  const kit = here.kit ?? [];
  const states = plan.book?.find((one) => one.pond === here.id)?.kit ?? [];
  return html`<main class="page kit">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div>
      <a class="round-button" href="/kit?new">${W.add}</a></header>
    <div class="inset"><${PondPick} /></div>
    ${kit.length === 0 && html`<p class="empty">${W.none}</p>`}
    <div class="kit-cards">${kit.map((item) => html`<${ItemCard} key=${item.id} item=${item} plan=${plan} pond=${here}
      state=${states.find((one) => one.id === item.id)} now_ms=${now_ms} />`)}</div>
  </main>`;
}

/** @param {{item: KitItem, state: KitState|undefined, plan: Plan, pond: Pond, now_ms: number}} props */
function ItemCard({ item, state, plan, pond, now_ms }) {
  const { seen } = useStore();
  const kinds = /** @type {Record<string, string>} */ (W.kinds);
  const facts = standingOf(seen).filter(({ entry }) => entry.pond === pond.id && entry.kit === item.id).reverse();
  const jobs = standingJobs(seen, pond.id, civilDate(pond.zone, now_ms)).filter((one) => one.kit === item.id);
  const parts = item.parts ?? [];
  const held = parts.filter((one) => one.held > 0).map((one) => W.held(one.name, one.held));
  const used_up = parts.filter((one) => one.held === 0).map((one) => one.name);
  const small = [W.at(kinds[item.kind] ?? item.kind, item.place), item.fitted_on
    && W.fitted(fullDate(item.fitted_on)), W.spares(item.spares ?? 0), ...held].filter(Boolean).join(" · ");
  const link = (/** @type {string} */ form, /** @type {string} */ said, /** @type {string} */ short = said) =>
    html`<a class="pick" href=${`/kit?${form}=${item.id}`} aria-label=${W.of(said, item.name)}>${short}</a>`;
  return html`<article class="finding kit-card" aria-label=${item.name}><h2>${item.name}</h2>
    <p class="quiet">${small}</p>
    ${used_up.length > 0 && html`<p>${W.used_up(used_up.join(", "))}</p>`}
    ${state ? html`<${Use} state=${state} pond=${pond} />` : html`<p>${W.follows}</p>`}
    ${jobs.length > 0 && html`<p class="quiet">${W.used(jobs.map((one) => comes(one, plan)).join(", "))}</p>`}
    ${facts.length > 0 && html`<ul class="entry-list">${facts.slice(0, FEW).map((one) =>
      html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul>`}
    ${state && state.services.length > 0 && html`<${History} state=${state} plan=${plan} />`}
    <p class="picks">${link("service", W.service)}${link("meter", W.meter, W.counter)}${link("item", W.edit)}
      <a class="pick" href=${`/book?kit=${item.id}`} aria-label=${W.of(W.all, item.name)}>${W.all}</a></p></article>`;
}

/** A job with the day it is next to be done, where the plan reaches so far.
 * @param {import("../../domain/types.js").StandingJob} job @param {Plan} plan */
function comes({ id, pond, text }, plan) {
  const day = plan.days.find(({ jobs }) => jobs.some((one) => one.standing_job === id && one.pond === pond
    && one.state !== "stood_down"));
  return day ? W.comes(text, shortDate(day.date)) : text;
}

/** @param {{state: KitState, pond: Pond}} props */
function Use({ state, pond }) {
  const { unit, per } = volumeUnit(pond);
  const much = (/** @type {number|null} */ hours, /** @type {number|null} */ volume_l) =>
    [hours !== null && `${number(hours, 0)} ${W.h}`, volume_l !== null && `${number(volume_l * per, 0)} ${unit}`]
      .filter(Boolean).join(" · ");
  const rows = [[W.since_fitted, much(state.hours, state.volume_l)],
    [W.since_service, much(state.hours_since_service, state.volume_since_service_l)]].filter(([, said]) => said);
  if (rows.length === 0) return html`<p>${state.says}</p>`;
  return html`<dl class="facts">${rows.map(([name, said]) => html`<div key=${name}><dt>${name}</dt><dd>${said}</dd>
    </div>`)}</dl><p class="quiet">${state.says}</p>`;
}

/** @param {{state: KitState, plan: Plan}} props */
function History({ state, plan }) {
  const names = /** @type {Record<string, string>} */ (jobsWords.services);
  return html`<details class="workings"><summary>${W.history}</summary><ul>${state.services.map(([on, what, by], n) =>
    html`<li class="entry-line" key=${n}><span>${names[what] ?? what}</span>
      <span class="quiet">${[fullDate(on), plan.person_names[by]].filter(Boolean).join(" · ")}</span></li>`)}</ul>
  </details>`;
}
