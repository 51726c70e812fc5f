// The form of a hand-over: everything filled in from today's plan, folded under what it comes to. What was changed
// becomes one `set` entry for each field of the record.
import { html } from "../../ui.js";
import { addDays, civilDate, daysBetween } from "../../domain/civil.js";
import { handOvers } from "../../domain/hand-overs.js";
import { shortDate } from "../../formats.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { rowCount } from "../../parts/form-values.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { bufferSection, feedSection, doseProblems } from "./hand-over-bags.js";
import { jobsSection } from "./hand-over-jobs.js";
import { changedFields, chosenIn, daysIn, fieldsFrom, jobsOf, textsOf } from "./hand-over-values.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {import("../../parts/field-form.js").Filling} Filling */
/** @typedef {Record<string, string>} Texts */

const W = handOverWords.form;
const MOST_DAYS = 120;
const LONG_DAYS = 21;
const MOST_JOBS = 60;
const TEL = /^[+0-9][0-9 ()/-]{2,30}$/;

/** @param {{plan: Plan, of: HandOver|null, now_ms: number}} props   without `of` a new one */
export function HandOverForm({ plan, of, now_ms }) {
  const { seen } = useStore();
  const all = handOvers(plan, seen);
  const jobs = jobsOf(plan, seen, now_ms);
  if (jobs.length === 0) return html`<main class="page"><h1 class="inset">${W.new_title}</h1>
    <p class="empty">${handOverWords.no_jobs} <a class="text-link" href="/jobs">${words.titles.jobs}</a></p></main>`;
  const before = textsOf({ plan, seen, now_ms, of, last: all.find((one) => one.helpers.length > 0) });
  const around = { plan, seen, jobs, now_ms, of };
  const sections = [datesSection(of), helpersSection(), jobsSection(around),
    ...plan.ponds.flatMap((pond) => [feedSection(around, pond), bufferSection(around, pond)]),
    dosesSection(), shownSection(), ringSection(plan), wordsSection()];
  const save = async (/** @type {Record<string, any>} */ values) => {
    const id = of?.id ?? newId(values.begins_on, all);
    const changed = changedFields(fieldsFrom(values, plan, jobs), of);
    const pond = of?.pond ?? plan.ponds[0].id;
    await record(changed.map(([field, value]) => makeEntry("set", pond,
      { target: `hand-over/${id}`, field, value, effective_from: null })), changed.length ? W.saved
      : words.pond.unchanged);
    go(`/hand-overs?of=${id}`, true);
  };
  return html`<div class="hand-over-form"><${FieldForm} title=${of ? of.name : W.new_title} hint=${of ? "" : W.hint}
    sections=${sections} before=${before} back=${of ? `/hand-overs?of=${of.id}` : "/hand-overs"} derive=${following}
    check=${(/** @type {Record<string, any>} */ values) => problemsOf(values, around)} onSave=${save} /></div>`;
}

/** The last day goes along with the first, so that it stays as long; another amount is not confirmed yet.
 * @param {Texts} texts @param {string} name @param {Texts} before @returns {Texts} */
function following(texts, name, before) {
  if (name.startsWith("buffer:")) return { [name.replace("buffer:", "confirmed:")]: "" };
  const days = daysIn(before);
  const moved = name === "begins_on" && texts.begins_on > "2000" && days > 0 && days <= MOST_DAYS;
  return moved ? { ends_on: addDays(texts.begins_on, days - 1) } : {};
}

/** @param {HandOver|null|undefined} of the hand-over that is there already @returns {Section} */
function datesSection(of) {
  return { title: W.dates, hint: W.dates_hint, fields: [
    { name: "begins_on", label: W.begins_on, kind: "date", required: true },
    { name: "ends_on", label: W.ends_on, kind: "date", required: true },
    { name: "rehearsal_on", label: W.rehearsal_on, kind: "date", hint: W.rehearsal_hint },
    { name: "name", label: W.name, kind: "text", most: 200, required: true }],
  under: (/** @type {Filling} */ filling) => html`<${Days} filling=${filling} numbered_from=${of?.begins_on} />` };
}

/** How long it is, and a day more or less by one tap. `numbered_from`: the first day the bags were numbered by.
 * @param {{filling: Filling, numbered_from?: string|null}} props */
function Days({ filling: { texts, set }, numbered_from }) {
  const days = daysIn(texts);
  const move = (/** @type {number} */ by) => set("ends_on")(addDays(texts.ends_on, by));
  const said = days > 0 ? handOverWords.span(shortDate(texts.begins_on), shortDate(texts.ends_on), days) : "";
  return html`<p class="section-hint row-says" role="status">${said} ${days > LONG_DAYS ? W.long(days) : ""}</p>
    ${numbered_from && texts.begins_on !== numbered_from && html`<p class="section-hint row-says"
      role="status">${W.renumbered}</p>`}
    <div class="pair"><button type="button" class="plain-button" disabled=${days < 2}
        onClick=${() => move(-1)}>${W.shorter}</button>
      <button type="button" class="plain-button" disabled=${days < 1 || days >= MOST_DAYS}
        onClick=${() => move(1)}>${W.longer}</button></div>`;
}

/** @returns {Section} */
function helpersSection() {
  return { title: W.helpers, hint: W.helpers_hint, fields: [], rows: {
    name: "helpers", add: W.helper_add, title: W.helper, drop: W.helper_drop, most: 2, none: W.no_helper_hint,
    fields: [{ name: "id", label: "", kind: "kept" },
      { name: "name", label: W.helper_name, kind: "text", most: 60, required: true },
      { name: "tel", label: W.helper_tel, kind: "tel", most: 32 }] } };
}

/** @returns {Section} */
function dosesSection() {
  return { title: W.doses, hint: W.doses_hint,
    fields: [{ name: "other_doses", label: W.doses_field, options: W.doses_choices }],
    fold: (texts) => W.doses_choices[texts.other_doses === "yes" ? "yes" : "no"] };
}

/** @returns {Section} */
function shownSection() {
  return { title: W.shown, hint: W.shown_hint, caution: W.shown_caution, fields: [], rows: {
    name: "shown", add: W.shown_add, title: W.shown_n, drop: W.shown_drop, most: 20, fields: [
      { name: "what", label: W.shown_what, options: handOverWords.things },
      { name: "where", label: W.shown_where, kind: "text", most: 200, hint: W.shown_where_hint },
      { name: "photo", label: W.shown_photo, kind: "photo" }] },
  fold: (texts) => {
    const count = Number(texts.shown ?? 0);
    return W.shown_count(count, Array.from({ length: count }, (_, n) => texts[`shown.${n}.photo`]).filter(Boolean)
      .length);
  } };
}

/** @param {Plan} plan @returns {Section} */
function ringSection(plan) {
  const own = plan.ring.map((one) => `${one.name}, ${one.tel}`).join("; ");
  const rows = {
    name: "ring", add: W.ring_add, title: W.ring_n, drop: W.ring_drop, most: 6, fields: [
      { name: "name", label: W.ring_name, kind: /** @type {const} */ ("text"), most: 60, required: true },
      { name: "tel", label: W.ring_tel, kind: /** @type {const} */ ("tel"), most: 32, required: true }] };
  return { title: W.ring, hint: W.ring_hint(own), fields: [], rows, open: !own, fold: (texts) =>
    [...Array.from({ length: rowCount(rows, texts) }, (_, n) => texts[`ring.${n}.name`]), ...plan.ring.map((one) =>
      one.name)].filter(Boolean).join(", ") || W.ring_none };
}

/** @returns {Section} */
function wordsSection() {
  return { title: W.words, fields: [{ name: "words", label: W.words_field, kind: "text", most: 2000, lines: 4,
    hint: W.words_hint }], fold: (texts) => texts.words || W.words_none };
}

/** By field, what no field alone can know. @param {Record<string, any>} values
 * @param {import("./hand-over-bags.js").Around} around @returns {Record<string, string>} */
function problemsOf(values, around) {
  const { begins_on, ends_on, rehearsal_on, helpers, ring } = values;
  if (ends_on < begins_on) return { ends_on: W.ends_early };
  if (ends_on < todayAt(around.plan, around.now_ms) && ends_on !== around.of?.ends_on) return { ends_on: W.gone_by };
  if (daysBetween(begins_on, ends_on) >= MOST_DAYS) return { ends_on: W.too_long };
  if (rehearsal_on && rehearsal_on >= begins_on) return { rehearsal_on: W.rehearsal_late };
  const twice = helpers.length === 2 && same(helpers[0].name, helpers[1].name);
  if (twice) return { "helpers.1.name": W.same_name };
  const wrong = telProblem("helpers", helpers) ?? telProblem("ring", ring);
  if (wrong) return wrong;
  const told = fieldsFrom(values, around.plan, around.jobs);
  if ((told.jobs ?? []).length === 0) return { jobs: W.jobs_none };
  if (chosenIn(values.jobs).length > MOST_JOBS) return { jobs: W.jobs_many };
  return doseProblems(values, around);
}

/** @param {string} one @param {string} other */
function same(one, other) {
  return one.trim().toLowerCase() === other.trim().toLowerCase();
}

/** @param {string} list @param {{tel: string|null}[]} rows @returns {Record<string, string>|null} */
function telProblem(list, rows) {
  const n = rows.findIndex(({ tel }) => tel && !TEL.test(tel));
  return n < 0 ? null : { [`${list}.${n}.tel`]: W.tel_wanted };
}

/** An id nobody else makes without signal on the same day. @param {string} begins_on @param {HandOver[]} all */
function newId(begins_on, all) {
  const taken = new Set(all.map((one) => one.id));
  for (;;) {
    const [chance] = crypto.getRandomValues(new Uint32Array(1));
    const id = `from-${begins_on}-${chance.toString(36)}`;
    if (!taken.has(id)) return id;
  }
}

/** The date today at the first pond. @param {Plan} plan @param {number} now_ms */
function todayAt(plan, now_ms) {
  return civilDate(plan.ponds[0].zone, now_ms);
}
