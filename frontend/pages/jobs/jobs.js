// Jobs: what makes the round, by group, each switched on or off; the way to set one, to write one, to order the places.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { editsOf, standingJobs } from "../../domain/standing-jobs.js";
import { when } from "../../formats.js";
import { jobsWords, whenWords } from "../../words/jobs-words.js";
import { PondPick } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { record } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { words } from "../../words.js";
import { conditionsSay } from "./job-conditions.js";
import { otherEdit, Refused } from "./job-edits.js";
import { JobEditor } from "./job-editor.js";
import { groupsOf, isOn, switched } from "./job-groups.js";
import { recurWords, seasonWords } from "./job-when.js";
import { PlacesForm } from "./places-form.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("./job-groups.js").Row} Row */
/** @typedef {import("./job-groups.js").Group} Group */

const W = jobsWords;
/** @type {Record<string, any>} */
const FORMS = { job: JobEditor, new: JobEditor, places: PlacesForm };

/** @param {{query: URLSearchParams}} props */
export function Jobs({ query }) {
  const { plan, seen, pond } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (!plan || !here) return html`<main class="page"><header class="page-head"><h1>${W.title}</h1></header>
    <p class="empty">${W.none}</p></main>`;
  const form = [...query.keys()].find((name) => FORMS[name]);
  if (form) {
    const Form = FORMS[form];
    return html`<${Form} key=${`${form}/${query.get(form)}/${here.id}`} plan=${plan} pond=${here}
      of=${query.get(form) || null} now_ms=${now_ms} />`;
  }
  const today = civilDate(here.zone, now_ms);
  const groups = groupsOf(plan, standingJobs(seen, here.id, today));
  return html`<main class="page jobs">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div>
      <a class="round-button" href="/jobs?new">${W.add}</a></header>
    <div class="inset"><${PondPick} /></div>
    <${Refused} pond=${here.id} />
    ${groups.length === 0 && html`<p class="empty">${W.none}</p>`}
    <div class="job-groups">${groups.map((one) => html`<${GroupOf} key=${one.id} group=${one} plan=${plan} pond=${here}
      names=${namesIn(groups)} today=${today} now_ms=${now_ms} />`)}</div>
    <p class="inset"><a class="plain-button" href="/jobs?places">${W.places}</a></p>
  </main>`;
}

/** @param {Group[]} groups @returns {Record<string, string>} what each job is called, by id */
export function namesIn(groups) {
  return Object.fromEntries(groups.flatMap((one) => one.rows).map(({ id, job }) => [id, job.text]));
}

/** @param {{group: Group, plan: Plan, pond: Pond, names: Record<string, string>, today: string,
 *   now_ms: number}} props */
function GroupOf({ group, plan, pond, names, today, now_ms }) {
  const on = group.rows.filter(isOn).length;
  const all = on < group.rows.length;
  const flip = (/** @type {Row[]} */ rows, /** @type {boolean} */ to, /** @type {string} */ what) => {
    const entries = rows.flatMap((row) => switched(pond.id, row, to, today));
    if (entries.length > 0) record(entries, W.switched(what, to));
  };
  return html`<details class="job-group"><summary><span><b>${group.title}</b>
      <small>${W.count(on, group.rows.length)}</small></span></summary>
    <div class="group-head"><p class="quiet">${group.says}</p>
      <button type="button" class="text-button" aria-label=${`${all ? W.all_on : W.all_off}: ${group.title}`}
        onClick=${() => flip(group.rows, all, group.title)}>${all ? W.all_on : W.all_off}</button></div>
    <ul>${group.rows.map((row) => html`<${JobRow} key=${row.id} row=${row} plan=${plan} pond=${pond} names=${names}
      now_ms=${now_ms} onFlip=${(/** @type {boolean} */ to) => flip([row], to, row.job.text)} />`)}</ul></details>`;
}

/** @param {{row: Row, plan: Plan, pond: Pond, names: Record<string, string>, now_ms: number,
 *   onFlip: (to: boolean) => void}} props */
function JobRow({ row, plan, pond, names, now_ms, onFlip }) {
  const { seen, person } = useStore();
  const { job, mine } = row;
  const lately = mine ? otherEdit(editsOf(seen, pond.id, row.id), person?.id, now_ms) : null;
  const who = lately && (plan.person_names[lately.one.entry.author] ?? W.somebody);
  return html`<li class="job-row">
    <label class="job-switch"><input type="checkbox" checked=${isOn(row)}
        onChange=${(event) => onFlip(event.target.checked)} />
      <span>${jobName(job)}<small>${jobSays(job, plan, pond, names)}</small>
        ${lately && html`<small>${W.lately(who, when(lately.one.at, pond.zone, now_ms))}</small>`}</span></label>
    ${mine && html`<a class="job-edit" href=${`/jobs?job=${row.id}`} aria-label=${W.edit(job.text)}>
      <${Icon} name="on" /></a>`}</li>`;
}

/** Its names in the day: "Covers off, Covers on". @param {import("../../domain/types.js").StandingJob} job */
export function jobName({ text, texts }) {
  return Object.values(texts).join(", ") || text;
}

/** Longer than any season and shorter than a year: done once, it rests until the next [days]. */
const ONCE_DAYS = 200;

/** When it comes, in one line. @param {import("../../domain/types.js").StandingJob} job @param {Plan} plan
 * @param {Pond} pond @param {Record<string, string>} names of jobs, by id */
export function jobSays(job, plan, pond, names) {
  const { recur, season, only_if } = job;
  const parts = [...new Set(Object.values(job.windows).map((one) => words.parts[/** @type {"dusk"} */ (one.part)]))];
  const once = season && recur.every === "after_done" && recur.days >= ONCE_DAYS;
  const often = recur.every !== "when" ? recurWords(recur, plan, pond)
    : only_if.length > 0 ? "" : whenWords.says.until_done(recur.rest_days ?? 1);
  const holds = only_if.length > 0 && whenWords.says.if(conditionsSay({ plan, pond, jobs: names }, only_if));
  return [once ? whenWords.says.once : often, holds, seasonWords(season), parts.join(", ").toLowerCase(), job.place]
    .filter(Boolean).join(" · ");
}
