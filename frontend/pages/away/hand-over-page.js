// One hand-over: what is given, what is to be seen to, its links; a day more or less, and calling it off, by one tap.
import { html, classes } from "../../ui.js";
import { addDays } from "../../domain/civil.js";
import { daysOf, rehearsedOn, stageOf } from "../../domain/hand-overs.js";
import { number, shortDate, dayAndMonth } from "../../formats.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { Icon } from "../../parts/icons.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { makeEntry, record } from "../../record.js";
import { useStore } from "../../store.js";
import { shownQuantity, shownValue } from "../../units.js";
import { bagWords } from "./hand-over-bags.js";
import { checksOf } from "./hand-over-checks.js";
import { HandOverLinks } from "./hand-over-links.js";
import { helperNames, spanWords, stageWords } from "./hand-over-says.js";
import { isByBag, jobsOf, keyOf } from "./hand-over-values.js";
import { jobName } from "../jobs/jobs.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */

const W = handOverWords;
const MOST_DAYS = 120;

/** @param {{plan: Plan, of: HandOver, all: HandOver[], today: string, now_ms: number}} props */
export function HandOverPage({ plan, of, all, today, now_ms }) {
  const { seen } = useStore();
  const jobs = jobsOf(plan, seen, now_ms);
  const stage = stageOf(of, today);
  const says = [stageWords(of, today), spanWords(of), helperNames(of) ? W.with(helperNames(of)) : W.nobody];
  return html`<main class="page hand-over">
    <header class="page-head"><div><h1>${of.name}</h1><p class="quiet">${says.filter(Boolean).join(" · ")}</p></div>
      <a class="round-button" href=${`/hand-overs?edit=${of.id}`}>${W.page.change}</a></header>
    <${Length} of=${of} today=${today} />
    ${stage === "over" && html`<${Ways} of=${of} stage=${stage} />`}
    <${Checks} checks=${checksOf(of, plan, all, jobs, today)} />
    <${Given} of=${of} plan=${plan} jobs=${jobs} />
    ${(stage === "to_come" || stage === "runs")
      && html`<${HandOverLinks} of=${of} plan=${plan} now_ms=${now_ms} />`}
    ${stage !== "over" && html`<${Ways} of=${of} stage=${stage} />`}
    <p class="centre"><${OnOff} of=${of} /><a class="plain-button" href="/hand-overs">${W.all}</a></p>
  </main>`;
}

/** What is to be read of it; once it is over that comes first. @param {{of: HandOver, stage: string}} props */
function Ways({ of, stage }) {
  return html`<nav class="choices" aria-label=${of.name}>
    ${stage !== "over" && html`<${Way} href=${`/hand-overs?sheet=${of.id}`} said=${W.page.sheet} />`}
    <${Way} href=${`/hand-overs?home=${of.id}`} said=${W.page.report} /></nav>`;
}

/** @param {{href: string, said: string}} props */
function Way({ href, said }) {
  return html`<a class="choice" href=${href}><span>${said}</span><${Icon} name="on" /></a>`;
}

/** @param {HandOver} of @param {string} field @param {any} value @param {string} said */
function set({ id, pond }, field, value, said) {
  return record([makeEntry("set", pond, { target: `hand-over/${id}`, field, value, effective_from: null })], said);
}

/** @param {{of: HandOver, today: string}} props */
function Length({ of, today }) {
  const days = daysOf(of);
  const stage = stageOf(of, today);
  if (days.length === 0 || stage === "called_off") return null;
  const last = days[days.length - 1];
  const move = (/** @type {number} */ by) => set(of, "ends_on", addDays(last, by),
    W.page.longer(shortDate(addDays(last, by))));
  return html`<div class="pair inset">
    <button type="button" class="plain-button" disabled=${days.length < 2 || (stage !== "to_come" && last <= today)}
      onClick=${() => move(-1)}>${W.form.shorter}</button>
    <button type="button" class="plain-button" disabled=${days.length >= MOST_DAYS}
      onClick=${() => move(1)}>${W.form.longer}</button></div>`;
}

/** @param {{of: HandOver}} props */
function OnOff({ of }) {
  const { called_off } = of;
  const flip = () => set(of, "called_off", !called_off, called_off ? W.page.called_on : W.page.called_off);
  return html`<button type="button" class="text-button"
    onClick=${flip}>${called_off ? W.page.call_on : W.page.call_off}</button>`;
}

/** @param {{checks: import("./hand-over-checks.js").Check[]}} props */
function Checks({ checks }) {
  if (checks.length === 0) return null;
  const serious = checks.some((one) => one.serious);
  return html`<section class=${classes("notice", serious && "act")} aria-labelledby="see-to">
    <h2 id="see-to">${W.page.see_to}</h2>
    <ul class="checks">${checks.map((one) => html`<li key=${one.id} class=${classes(one.serious && "serious")}>
      <${Icon} name=${one.serious ? "warn" : "todo"} />
      ${one.href ? html`<a class="text-link" href=${one.href}>${one.said}</a>` : html`<span>${one.said}</span>`}
      </li>`)}</ul></section>`;
}

/** @param {{of: HandOver, plan: Plan, jobs: StandingJob[]}} props */
function Given({ of, plan, jobs }) {
  const mine = jobs.filter((job) => of.jobs.includes(keyOf(job)));
  const photos = of.shown.flatMap((one) => (one.photo ? [one.photo] : []));
  const rehearsal = rehearsedOn(of);
  const ring = [...of.ring, ...plan.ring].map((one) => one.name).join(", ");
  return html`<section class="card-section" aria-labelledby="given"><h2 id="given">${W.page.given}</h2>
    <ul class="given-list">${mine.filter((job) => !isByBag(job)).map((job) =>
      html`<li key=${keyOf(job)}>${jobName(job)}</li>`)}
      ${plan.ponds.map((pond) => html`<${Bags} key=${pond.id} of=${of} plan=${plan} pond=${pond}
        shapes=${jobs.filter((job) => job.pond === pond.id).map((job) => job.shape)} />`)}</ul>
    ${rehearsal && html`<p class="quiet">${W.page.rehearsal(shortDate(rehearsal))}</p>`}
    ${ring && html`<p class="quiet">${W.page.ring(ring)}</p>`}
    ${of.words && html`<p>${of.words}</p>`}
    <${PhotoStrip} sums=${photos} /></section>`;
}

/** @param {{of: HandOver, plan: Plan, pond: import("../../domain/types.js").Pond,
 *   shapes: string[]}} props   `shapes` of
 * the pond's jobs: what it has no job for is not spoken of */
function Bags({ of, plan, pond, shapes }) {
  const mine = of.ceilings.find((one) => one.pond === pond.id);
  const [feed, buffer] = [mine?.feed_g_per_day, mine?.buffer_g_per_day];
  const name = plan.ponds.length > 1 ? `${pond.name}: ` : "";
  const kh = shownQuantity(plan, pond.id, "kh_dkh");
  const confirmed = buffer && kh && typeof mine?.buffer_kh_dkh === "number" && mine.confirmed_on
    ? W.page.confirmed(shownValue(kh, mine.buffer_kh_dkh), dayAndMonth(mine.confirmed_on)) : "";
  return html`${shapes.includes("feed")
      && html`<li>${name}${feed ? W.page.feed(number(feed)) : W.page.no_feed}</li>`}
    ${shapes.includes("dose") && html`<li>${name}${buffer ? W.page.buffer(bagWords(buffer, pond)) : W.page.no_buffer}
      ${confirmed && html` <span class="quiet">${confirmed}</span>`}</li>`}`;
}
