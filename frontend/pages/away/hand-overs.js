// Hand-overs: the list of them, and the way to the page, the form, the sheet and the coming home of each.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { handOvers } from "../../domain/hand-overs.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { Icon } from "../../parts/icons.js";
import { useNow, useStore } from "../../store.js";
import { ComingHome } from "./coming-home.js";
import { HandOverForm } from "./hand-over-form.js";
import { HandOverPage } from "./hand-over-page.js";
import { helperNames, spanWords, stageWords } from "./hand-over-says.js";
import { HandOverSheet } from "./hand-over-sheet.js";

/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */

const W = handOverWords;
/** @type {Record<string, any>} */
const PAGES = { of: HandOverPage, edit: HandOverForm, new: HandOverForm, sheet: HandOverSheet, home: ComingHome };

/** @param {{query: URLSearchParams}} props */
export function HandOvers({ query }) {
  const { plan, seen } = useStore();
  const now_ms = useNow();
  if (!plan?.ponds.length) return html`<${Empty} said=${W.no_plan} />`;
  const all = handOvers(plan, seen);
  const today = civilDate(plan.ponds[0].zone, now_ms);
  const name = [...query.keys()].find((one) => PAGES[one]);
  if (name) {
    const of = all.find((one) => one.id === query.get(name)) ?? null;
    if (!of && name !== "new") return html`<${Empty} said=${W.not_there} />`;
    const Page = PAGES[name];
    return html`<${Page} key=${`${name}/${of?.id}`} plan=${plan} of=${of} all=${all} today=${today} now_ms=${now_ms}
      query=${query} />`;
  }
  return html`<main class="page">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div>
      <a class="round-button" href="/hand-overs?new">${W.add}</a></header>
    ${all.length === 0 && html`<p class="empty">${W.none}</p>`}
    <ul class="choices">${all.map((one) => html`<li key=${one.id}><a class="choice" href=${`/hand-overs?of=${one.id}`}>
      <span>${one.name}<small>${lineOf(one, today)}</small></span><${Icon} name="on" /></a></li>`)}</ul>
  </main>`;
}

/** @param {{said: string}} props */
function Empty({ said }) {
  return html`<main class="page"><header class="page-head"><h1>${W.title}</h1></header><p class="empty">${said}</p>
    <p class="centre"><a class="plain-button" href="/hand-overs">${W.all}</a></p></main>`;
}

/** "begins in 3 days · Sat 5 Dec to Mon 14 Dec · 10 days · with Anna" @param {HandOver} one @param {string} today */
function lineOf(one, today) {
  return [stageWords(one, today), spanWords(one), helperNames(one) && W.with(helperNames(one))].filter(Boolean)
    .join(" · ");
}
