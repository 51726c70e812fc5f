// One standing job, every field of it. What was changed becomes one `set` entry for each field of the record.
import { html, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { PLAIN_JOB, standingJobs } from "../../domain/standing-jobs.js";
import { jobsWords } from "../../words/jobs-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { PhotoField } from "../../parts/photo-field.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { makeEntry, record } from "../../record.js";
import { go, useHalfTyped } from "../../router.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { othersSaid, Refused } from "./job-edits.js";
import { conditionProblems } from "./job-conditions.js";
import { HOLDS, jobFrom, jobSections, jobTexts } from "./job-form.js";
import { recurFields, recurProblems, seasonFields, seasonProblems } from "./job-when.js";
import { windowProblems } from "./job-windows.js";
import { newSlug } from "../pond.js";

/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("./job-form.js").Around} Around */

const W = jobsWords;
const BACK = "/jobs";

/** @param {{plan: Plan, pond: Pond, of: string|null, now_ms: number}} props   without `of` a new one */
export function JobEditor({ plan, pond, of, now_ms }) {
  const { seen, person } = useStore();
  const [picture, picked] = useState(/** @type {string|null|undefined} */ (undefined));
  useHalfTyped(picture !== undefined);
  const today = civilDate(pond.zone, now_ms);
  const jobs = standingJobs(seen, pond.id, today);
  const job = of ? jobs.find((one) => one.id === of) : newJob(pond, jobs, today);
  if (!job) return html`<main class="page"><p class="empty">${W.not_there}</p>
    <p class="centre"><a class="plain-button" href=${BACK}>${W.back}</a></p></main>`;
  const names = Object.fromEntries(jobs.map((one) => [one.id, one.text]));
  const around = { plan, pond, jobs, id: job.id };
  const sections = Object.entries(jobSections(around)).filter(([name]) => of || name !== "active")
    .map(([name, one]) => {
      const others = of ? othersSaid({ plan, pond, id: of, fields: HOLDS[name], jobs: names, seen, me: person?.id,
        now_ms }) : "";
      return others ? { ...one, caution: others, open: true } : one;
    });
  const save = async (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    /** @type {Record<string, any>} */
    const told = { ...jobFrom(values), picture: picture ?? null };
    const id = of ?? newJobId(values.text, jobs);
    const fields = of ? [...touched(changed, plan, pond), ...picture === undefined ? [] : ["picture"]]
      : Object.keys(told);
    const before = /** @type {Record<string, any>} */ (of ? job : PLAIN_JOB);
    const set = fields.filter((field) => JSON.stringify(told[field]) !== JSON.stringify(before[field]));
    await record(set.map((field) => makeEntry("set", pond.id, { target: `job/${id}`, field, value: told[field],
      effective_from: of ? today : null })), set.length > 0 ? W.saved : words.pond.unchanged);
    go(BACK, true);
  };
  return html`<${FieldForm} title=${of ? job.text : W.new_title} hint=${plan.ponds.length > 1 ? pond.name : ""}
      sections=${sections} before=${jobTexts(sections, job, around)} back=${BACK} onSave=${save}
      check=${(/** @type {Record<string, any>} */ values) => problemsOf(values, around)}>
    <${Picture} kept=${picture === undefined ? job.picture : null} sum=${picture ?? null} onPick=${picked} />
    <${Refused} pond=${pond.id} id=${job.id} /></${FieldForm}>`;
}

/** What the job shows whoever does it: the one it has, or one picked just now.
 * @param {{kept: string|null, sum: string|null, onPick: (sum: string|null) => void}} props */
function Picture({ kept, sum, onPick }) {
  return html`<fieldset class="field-set job-picture"><legend><h2>${W.picture}</h2></legend>
    <div class="whole-line">${kept ? html`<${PhotoStrip} sums=${[kept]} />
      <button type="button" class="text-button" onClick=${() => onPick(null)}>${W.no_picture}</button>`
      : html`<${PhotoField} sums=${sum ? [sum] : []} most=${1}
        onChange=${(/** @type {string[]} */ sums) => onPick(sums[0] ?? null)} />`}</div></fieldset>`;
}

/** @param {Pond} pond @param {StandingJob[]} jobs @param {string} today @returns {StandingJob} */
function newJob(pond, jobs, today) {
  const place = pond.places?.[0] ?? jobs[0]?.place ?? PLAIN_JOB.place;
  const job = /** @type {any} */ ({ ...PLAIN_JOB, id: "", pond: pond.id, text: "", place, starts_on: today });
  return job;
}

/** @param {string} text @param {StandingJob[]} jobs */
function newJobId(text, jobs) {
  const id = newSlug(text, "job");
  const taken = new Set(jobs.map((one) => one.id));
  for (let n = 2; ; n += 1) {
    const free = n === 2 ? id : `${id}-${n - 1}`;
    if (!taken.has(free)) return free;
  }
}

/** The record's fields that the changed fields of the form belong to.
 * @param {string[]} changed @param {Plan} plan @param {Pond} pond */
function touched(changed, plan, pond) {
  const recur = new Set(recurFields(plan, pond).map((one) => one.name));
  const season = new Set(seasonFields().map((one) => one.name));
  const of = (/** @type {string} */ name) => {
    if (recur.has(name)) return ["recur"];
    if (season.has(name)) return ["season"];
    if (name === "windows") return ["windows", "texts"];
    return name === "shape" ? ["shape", "amount", "setting_c"] : [name === "place_name" ? "place" : name];
  };
  return [...new Set(changed.flatMap(of))];
}

/** By field, what no field alone can know.
 * @param {Record<string, any>} values @param {Around} around @returns {Record<string, string>} */
function problemsOf(values, around) {
  if (values.windows.length === 0) return { windows: W.window_needed };
  return { ...recurProblems(values), ...seasonProblems(values), ...windowProblems(values.windows),
    ...conditionProblems(around, values.only_if), ...afterProblems(values, around) };
}

/** Jobs that would wait for each other.
 * @param {Record<string, any>} values @param {Around} around @returns {Record<string, string>} */
function afterProblems(values, { jobs, id }) {
  const firsts = values.after.map((/** @type {any} */ one) => one.job);
  const twice = firsts.findIndex((/** @type {string} */ one, /** @type {number} */ n) => firsts.indexOf(one) < n);
  if (twice >= 0) return { [`after.${twice}.job`]: W.after_twice };
  const named = (/** @type {string} */ one) => jobs.find((job) => job.id === one)?.text ?? one;
  /** @type {(from: string, path: string[]) => string[]|null} */
  const round = (from, path) => {
    if (from === id) return path;
    if (path.includes(from)) return null;
    for (const one of jobs.find((job) => job.id === from)?.after ?? []) {
      const found = round(one, [...path, from]);
      if (found) return found;
    }
    return null;
  };
  for (const [n, first] of firsts.entries()) {
    const path = round(first, []);
    const ring = path && [values.text, ...path.map(named), values.text].join(" → ");
    if (ring) return { [`after.${n}.job`]: W.after_round(ring) };
  }
  return {};
}
