// A hand-over as the texts of its form, and back: what a new one begins with is taken from the plan and the last one.
import { addDays, civilDate } from "../../domain/civil.js";
import { isReading, standingOf } from "../../domain/fold.js";
import { ceilingOf, daysOf, PLAIN_HAND_OVER } from "../../domain/hand-overs.js";
import { standingJobs } from "../../domain/standing-jobs.js";
import { deviceId } from "../../offline/outbox.js";
import { parsed } from "../../formats.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {Record<string, string>} Texts */

/** How long a new one is [days], and in how many it begins: time enough for a rehearsal tomorrow. */
const LENGTH_DAYS = 10;
const BEGINS_IN_DAYS = 2;
/** Those an empty one asks for first. */
const FIRST_THINGS = ["residual_current_device", "stopcock", "feed"];
const FIELDS = ["name", "begins_on", "ends_on", "rehearsal_on", "helpers", "jobs", "ceilings", "other_doses", "shown",
  "words", "ring"];

/** Every standing job of every pond that is switched on. @param {Plan} plan @param {Map<string, Seen>} seen
 * @param {number} now_ms @returns {StandingJob[]} */
export function jobsOf(plan, seen, now_ms) {
  return plan.ponds.flatMap((pond) => standingJobs(seen, pond.id, civilDate(pond.zone, now_ms)))
    .filter((job) => job.active);
}

/** "pond/standing job" @param {{pond: string, id: string}} job */
export function keyOf({ pond, id }) {
  return `${pond}/${id}`;
}

/** Food and buffer are given by the bag, each in a section of its own. @param {StandingJob} job */
export function isByBag({ shape }) {
  return shape === "feed" || shape === "dose";
}

/** Whether it wants a test of the water. @param {StandingJob} job */
export function wantsTest(job) {
  return (/** @type {any} */ (job).asks ?? []).length > 0 || job.id.startsWith("test");
}

/** What may be left to somebody who knows nothing of koi: every day, no test, no amount to judge.
 * @param {StandingJob} job */
function isEasy(job) {
  return job.recur.every === "day" && !isByBag(job) && !wantsTest(job) && !job.amount && job.only_if.length === 0;
}

/** The plan's jobs of that shape on the first day from tomorrow on that has any. @param {Plan} plan
 * @param {string} pond @param {string} shape @returns {Job[]} */
export function plannedOf(plan, pond, shape) {
  const days = plan.days.filter((one) => one.date >= (plan.dates[1] ?? ""));
  const of = (/** @type {import("../../domain/types.js").Day} */ day) =>
    day.jobs.filter((job) => job.pond === pond && job.shape === shape);
  const first = days.find((day) => of(day).length > 0);
  return first ? of(first) : [];
}

/** @param {Job[]} jobs @param {"feed_g"|"amount_g"} what @returns {number|null} */
export function sumOf(jobs, what) {
  const given = jobs.filter((job) => job.state === "open").map((job) => job[what] ?? 0);
  return given.length > 0 ? given.reduce((sum, g) => sum + g, 0) : null;
}

/** The latest KH of the pond, as this device knows it. @param {Map<string, Seen>} seen @param {string} pond
 * @returns {Seen|undefined} */
export function lastKh(seen, pond) {
  return standingOf(seen).filter((one) => isReading(one, pond, "kh_dkh")).pop();
}

/** What the form begins with. @param {{plan: Plan, seen: Map<string, Seen>, now_ms: number, of: HandOver|null,
 *   last: HandOver|undefined}} from   `last`: an earlier one to take people and things from
 * @returns {Texts} */
export function textsOf({ plan, seen, now_ms, of, last }) {
  const begun = of ?? newOne(plan, seen, now_ms, last);
  return {
    name: begun.name, begins_on: begun.begins_on ?? "", ends_on: begun.ends_on ?? "",
    rehearsal_on: begun.rehearsal_on ?? "", jobs: begun.jobs.join(","), words: begun.words ?? "",
    other_doses: begun.other_doses ? "yes" : "no",
    ...rowTextsOf("helpers", begun.helpers, ["id", "name", "tel"]),
    ...rowTextsOf("shown", begun.shown, ["what", "where", "photo"]),
    ...rowTextsOf("ring", begun.ring, ["name", "tel"]),
    ...Object.assign({}, ...plan.ponds.map((pond) => ceilingTexts(begun, pond.id))),
  };
}

/** @param {string} name @param {any[]} rows @param {string[]} fields @returns {Texts} */
function rowTextsOf(name, rows, fields) {
  return Object.fromEntries([[name, String(rows.length)],
    ...rows.flatMap((row, n) => fields.map((field) => [`${name}.${n}.${field}`, row[field] ?? ""]))]);
}

/** @param {HandOver} of @param {string} pond @returns {Texts} */
function ceilingTexts(of, pond) {
  const { feed_g_per_day: feed, buffer_g_per_day: buffer, buffer_kh_dkh: kh, confirmed_on } = ceilingOf(of, pond);
  return {
    [`feed:${pond}`]: feed ? String(feed) : "", [`buffer:${pond}`]: buffer ? String(buffer) : "",
    [`confirmed:${pond}`]: confirmed_on ? `${confirmed_on} ${kh ?? ""}` : "",
  };
}

/** @param {Plan} plan @param {Map<string, Seen>} seen @param {number} now_ms @param {HandOver|undefined} last
 * @returns {HandOver} */
function newOne(plan, seen, now_ms, last) {
  const begins_on = addDays(civilDate(plan.ponds[0].zone, now_ms), BEGINS_IN_DAYS);
  const { ring, words } = last ?? PLAIN_HAND_OVER;
  const helpers = last?.helpers ?? [/** @type {any} */ ({ name: "" })];
  const shown = last?.shown.length ? last.shown : FIRST_THINGS.map((what) => ({ what }));
  const jobs = jobsOf(plan, seen, now_ms);
  const known = new Set(jobs.map(keyOf));
  const again = last?.jobs.filter((key) => known.has(key)) ?? [];
  return {
    ...PLAIN_HAND_OVER, id: "", pond: plan.ponds[0].id, begins_on, ends_on: addDays(begins_on, LENGTH_DAYS - 1),
    jobs: again.length > 0 ? again : jobs.filter(isEasy).map(keyOf), helpers, ring, words, shown,
    ceilings: plan.ponds.map((pond) => ({ pond: pond.id, substance: pond.substance,
      feed_g_per_day: sumOf(plannedOf(plan, pond.id, "feed"), "feed_g"),
      buffer_g_per_day: sumOf(plannedOf(plan, pond.id, "dose"), "amount_g") })),
  };
}

/** The fields of the record as the form has them. @param {Record<string, any>} values @param {Plan} plan
 * @param {StandingJob[]} jobs @returns {Partial<HandOver>} */
export function fieldsFrom(values, plan, jobs) {
  const ceilings = plan.ponds.flatMap((pond) => ceilingFrom(values, pond));
  const by_bag = jobs.filter(isByBag).filter((job) => ceilings.some((one) => one.pond === job.pond
    && (job.shape === "feed" ? one.feed_g_per_day : one.buffer_g_per_day)));
  const others = new Set(jobs.filter((job) => !isByBag(job)).map(keyOf));
  const chosen = chosenIn(values.jobs).filter((key) => others.has(key));
  return {
    name: values.name, begins_on: values.begins_on, ends_on: values.ends_on, rehearsal_on: values.rehearsal_on || null,
    helpers: values.helpers.map((/** @type {any} */ one) => tidy({ ...one, id: one.id || deviceId() })),
    jobs: [...chosen, ...by_bag.map(keyOf)], ceilings, other_doses: values.other_doses === "yes",
    shown: values.shown.map(tidy), words: values.words || null, ring: values.ring.map(tidy),
  };
}

/** Which jobs are chosen, food and buffer aside. @param {string|null|undefined} text @returns {string[]} */
export function chosenIn(text) {
  return (text ?? "").split(",").filter(Boolean);
}

/** @param {Record<string, any>} row without what is empty */
function tidy(row) {
  return /** @type {any} */ (Object.fromEntries(Object.entries(row).filter(([, value]) => value)));
}

/** A typed amount [g]; null for none. @param {string|undefined} text @returns {number|null} */
export function gramsIn(text) {
  const value = parsed(text ?? "");
  return value > 0 ? value : null;
}

/** @param {Record<string, any>} values @param {Pond} pond */
function ceilingFrom(values, { id, substance }) {
  const [feed, buffer] = [values[`feed:${id}`] || null, values[`buffer:${id}`] || null];
  if (!feed && !buffer) return [];
  const [confirmed_on, kh] = (values[`confirmed:${id}`] ?? "").split(" ");
  return [{ pond: id, substance, ...(feed ? { feed_g_per_day: feed } : {}),
    ...(buffer ? { buffer_g_per_day: buffer, buffer_kh_dkh: Number(kh), confirmed_on } : {}) }];
}

/** Of which fields the form holds something else than the record, in their order: [field, value].
 * @param {Partial<HandOver>} told @param {HandOver|null} of @returns {[string, any][]} */
export function changedFields(told, of) {
  const before = /** @type {Record<string, any>} */ (of ?? PLAIN_HAND_OVER);
  const now = /** @type {Record<string, any>} */ (told);
  return FIELDS.filter((field) => JSON.stringify(plainly(now[field])) !== JSON.stringify(plainly(before[field])))
    .map((field) => [field, now[field]]);
}

/** Without what is not told and in one order: home spells a record in its own. @param {any} value @returns {any} */
function plainly(value) {
  if (Array.isArray(value)) return value.map(plainly);
  if (typeof value !== "object" || value === null) return value;
  const told = Object.entries(value).filter(([, one]) => one !== null && one !== undefined);
  return Object.fromEntries(told.sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, one]) => [name, plainly(one)]));
}

/** How many days the typed dates make; 0 while they make none. @param {Texts} texts */
export function daysIn({ begins_on, ends_on }) {
  return daysOf({ ...PLAIN_HAND_OVER, id: "", pond: "", begins_on, ends_on }).length;
}
