// Coming home: one page about the days somebody else did the round, as home tells it. Made to be read and printed.
import { html, useEffect, useState } from "../../ui.js";
import { daysBetween } from "../../domain/civil.js";
import { daysOf } from "../../domain/hand-overs.js";
import { capfuls, number, shortDate, when } from "../../formats.js";
import { handOverWords, homeWords } from "../../words/hand-over-words.js";
import { ask } from "../../offline/server.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { useStore } from "../../store.js";
import { volumeUnit } from "../../units.js";
import { errorSentence } from "../../words.js";
import { helperNames, spanWords } from "./hand-over-says.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {{at: string, on: string, text: string, by: string, photos: string[]}} Said */
/** @typedef {{pond: string, title: string, asked: number, done: number, by: string[], missed: string[]}} DoneLine */
/** @typedef {{pond: string, feed_g: number, buffer_g: number, feed_most_g: number|null, buffer_most_g: number|null,
 *   water_l: number}} Spent */
/** @typedef {{pond: string, what: string, count: number, first: string, last: string, low: string,
 *   high: string}} Measured */
/**
 * @typedef {object} Report    mirrors the server's domain/away/coming_home.py
 * @property {string|null} until
 * @property {string} stage
 * @property {{on: string, asked: number, done: number, missed: string[]}[]} days
 * @property {DoneLine[]} jobs
 * @property {Said[]} not_done
 * @property {Measured[]} measured
 * @property {Spent[]} spent
 * @property {Said[]} trouble
 * @property {Said[]} notes
 * @property {Said[]} changed
 * @property {string[]} photos
 */

const W = homeWords;

/** What home told last, so that going back to it shows it at once. @type {Map<string, Report>} */
const told = new Map();

/** @param {{plan: Plan, of: HandOver, now_ms: number}} props */
export function ComingHome({ plan, of, now_ms }) {
  const { last_sync_at } = useStore();
  const [report, show] = useState(told.get(of.id) ?? null);
  const [error, fail] = useState("");
  useEffect(() => {
    ask("GET", `/api/hand-overs/${of.id}/report`, undefined, (data) => Array.isArray(data?.days)).then((answer) => {
      if (answer.ok) told.set(of.id, answer.data);
      if (answer.ok) show(answer.data);
      fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
    });
  }, [of.id, last_sync_at]);
  const says = [spanWords(of), helperNames(of) && handOverWords.with(helperNames(of))].filter(Boolean).join(" · ");
  return html`<main class="page coming-home">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${of.name} · ${says}</p></div>
      ${report && html`<button type="button" class="round-button"
        onClick=${() => print()}>${W.print}</button>`}</header>
    ${error && html`<p class="notice" role="alert">${error}</p>`}
    ${!report && !error && html`<p class="empty" role="status">${W.loading}</p>`}
    ${report && (report.until ? html`<${Told} report=${report} plan=${plan} of=${of} now_ms=${now_ms} />`
      : html`<p class="empty">${W.not_begun}</p>`)}
    <p class="centre"><a class="plain-button" href=${`/hand-overs?of=${of.id}`}>${handOverWords.back}</a></p>
  </main>`;
}

/** @param {{report: Report, plan: Plan, of: HandOver, now_ms: number}} props */
function Told({ report, plan, of, now_ms }) {
  const missed = report.jobs.filter((job) => job.missed.length > 0);
  const done = report.days.reduce((sum, day) => sum + day.done, 0);
  const asked = report.days.reduce((sum, day) => sum + day.asked, 0);
  const runs = report.stage === "runs"
    && W.so_far(daysBetween(of.begins_on ?? "", report.until ?? "") + 1, daysOf(of).length);
  const many = plan.ponds.length > 1;
  const list = (/** @type {string} */ title, /** @type {Said[]} */ said, /** @type {string} */ none) =>
    html`<${SaidList} title=${title} said=${said} none=${none} plan=${plan} now_ms=${now_ms} />`;
  return html`
    <${Part} title=${W.at_a_glance}>${runs && html`<p>${runs}</p>`}
      <p class="big">${asked > 0 && done === asked ? W.all_done : W.done_of(done, asked)}</p>
      <ul class="home-days" aria-label=${W.days}>${report.days.map((day) => html`<li key=${day.on}
        class=${day.missed.length > 0 ? "some-missed" : ""}><span>${shortDate(day.on)}</span>
        <b>${day.asked === 0 ? "–" : W.times(day.done, day.asked)}</b></li>`)}</ul></${Part}>
    <${Part} title=${W.missed}>${missed.length === 0 && html`<p>${W.none_missed}</p>`}
      <ul>${missed.map((job) => html`<li class="entry-line" key=${job.pond + job.title}>
        <span>${named(plan, job, many)}</span>
        <span class="quiet">${job.missed.map(shortDate).join(", ")}</span></li>`)}</ul></${Part}>
    ${list(W.trouble, report.trouble, W.none_trouble)}
    ${report.not_done.length > 0 && list(W.not_done, report.not_done, "")}
    ${report.notes.length > 0 && list(W.notes, report.notes, "")}
    <${Part} title=${W.spent}>${report.spent.map((one) => html`<${SpentFacts} key=${one.pond} spent=${one} plan=${plan}
      many=${many} />`)}</${Part}>
    <${MeasuredList} rows=${report.measured} plan=${plan} many=${many} />
    ${list(W.changed, report.changed, W.none_changed)}
    <${Part} title=${W.done}><ul>${report.jobs.map((job) => html`<li class="entry-line" key=${job.pond + job.title}>
      <span>${named(plan, job, many)}</span><span class="quiet">${[W.times(job.done, job.asked),
        job.by.length > 0 && W.by(job.by.join(", "))].filter(Boolean).join(" · ")}</span></li>`)}</ul></${Part}>
    ${report.photos.length > 0 && html`<${Part} title=${W.photos}><${PhotoStrip} sums=${report.photos} /></${Part}>`}`;
}

/** @param {{title: string, children: any}} props */
function Part({ title, children }) {
  return html`<section class="card-section"><h2>${title}</h2>${children}</section>`;
}

/** @param {Plan} plan @param {{pond: string, title: string}} job @param {boolean} many */
function named(plan, { pond, title }, many) {
  return many ? `${title}, ${plan.ponds.find((one) => one.id === pond)?.name ?? pond}` : title;
}

/** @param {{title: string, said: Said[], none: string, plan: Plan, now_ms: number}} props */
function SaidList({ title, said, none, plan, now_ms }) {
  return html`<${Part} title=${title}>${said.length === 0 && html`<p>${none}</p>`}
    <ul class="entry-list">${said.map((one, n) => html`<li class="entry-line" key=${n}><div class="entry-what">
      <p>${one.text}</p>
      <p class="quiet">${[when(one.at, plan.zone, now_ms), one.by].filter(Boolean).join(" · ")}</p></div>
      <${PhotoStrip} sums=${one.photos} /></li>`)}</ul></${Part}>`;
}

/** @param {{spent: Spent, plan: Plan, many: boolean}} props */
function SpentFacts({ spent, plan, many }) {
  const pond = plan.ponds.find((one) => one.id === spent.pond);
  const { unit, per } = volumeUnit(pond);
  const scoops = pond?.capful_g && spent.buffer_g > 0 ? ` · ${capfuls(spent.buffer_g, pond.capful_g)}` : "";
  const most = (/** @type {number|null} */ grams) => (grams === null ? "" : ` ${W.of_ceiling(number(grams, 0))}`);
  const rows = [
    (spent.feed_g > 0 || spent.feed_most_g !== null)
      && [W.food, `${number(spent.feed_g, 0)} g${most(spent.feed_most_g)}`],
    (spent.buffer_g > 0 || spent.buffer_most_g !== null)
      && [W.buffer, `${number(spent.buffer_g, 0)} g${scoops}${most(spent.buffer_most_g)}`],
    spent.water_l > 0 && [W.water, `${number(spent.water_l * per, 0)} ${unit}`]].filter(Boolean);
  if (rows.length === 0) return html`<p>${many && `${pond?.name}: `}${W.none_spent}</p>`;
  return html`${many && html`<h3>${pond?.name}</h3>`}<dl class="facts">${/** @type {string[][]} */ (rows).map(
    ([name, said]) => html`<div key=${name}><dt>${name}</dt><dd>${said}</dd></div>`)}</dl>`;
}

/** @param {{rows: Measured[], plan: Plan, many: boolean}} props */
function MeasuredList({ rows, plan, many }) {
  return html`<${Part} title=${W.measured}>${rows.length === 0 && html`<p>${W.none_measured}</p>`}
    <ul>${rows.map((one) => html`<li class="entry-line" key=${one.pond + one.what}>
      <span>${named(plan, { pond: one.pond, title: one.what }, many)}</span>
      <span class="quiet">${measuredWords(one)}</span></li>`)}</ul></${Part}>`;
}

/** "5 °dKH" of one reading; of more, from the first to the last, between which, and how many. @param {Measured} one */
function measuredWords({ count, first, last, low, high }) {
  if (count === 1) return first;
  const between = low !== high && W.between(low, high);
  return [W.first_last(first, last), between, W.readings(count)].filter(Boolean).join(" · ");
}
