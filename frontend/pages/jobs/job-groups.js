// The jobs on offer and those a pond has, by group; and what switching one on or off records.
import { PLAIN_JOB } from "../../domain/standing-jobs.js";
import { jobsWords } from "../../words/jobs-words.js";
import { makeEntry } from "../../record.js";

/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** `mine`: the pond has it, on or off; else it is on offer
 * @typedef {{id: string, job: StandingJob, mine: boolean}} Row
 * @typedef {{id: string, title: string, says: string, rows: Row[]}} Group */

/** @param {Partial<StandingJob> & {id: string}} told @returns {StandingJob} */
function whole(told) {
  return /** @type {StandingJob} */ ({ ...PLAIN_JOB, ...told });
}

/** What an older home offers: settings of one group without a name. @param {Plan} plan */
function plainOffer(plan) {
  const ids = [...new Set(plan.starter.map((one) => one.target.slice("job/".length)))];
  const jobs = ids.map((id) => ({ id, ...Object.fromEntries(
    plan.starter.filter((one) => one.target === `job/${id}`).map((one) => [one.field, one.value])) }));
  return jobs.length > 0 ? [{ id: "offer", title: jobsWords.offer, says: "", jobs }] : [];
}

/** @param {Plan} plan @param {StandingJob[]} jobs of the pond @returns {Group[]} the keeper's own last */
export function groupsOf(plan, jobs) {
  const offered = plan.starter_groups ?? plainOffer(plan);
  const mine = new Map(jobs.map((job) => [job.id, job]));
  const groups = offered.map(({ id, title, says, jobs: of }) => ({ id, title, says, rows: of.map((one) =>
    ({ id: one.id, job: mine.get(one.id) ?? whole(one), mine: mine.has(one.id) })) }));
  const known = new Set(offered.flatMap((one) => one.jobs.map(({ id }) => id)));
  const own = jobs.filter((job) => !known.has(job.id)).map((job) => ({ id: job.id, job, mine: true }));
  return own.length === 0 ? groups
    : [...groups, { id: "own", title: jobsWords.own, says: jobsWords.own_says, rows: own }];
}

/** @param {Row} row */
export function isOn({ job, mine }) {
  return mine && job.active;
}

/** The entries that switch a job on or off; one on offer is taken as it stands.
 * @param {string} pond its id @param {Row} row @param {boolean} on @param {string} today */
export function switched(pond, { id, job, mine }, on, today) {
  const set = (/** @type {string} */ field, /** @type {any} */ value, /** @type {string|null} */ effective_from) =>
    makeEntry("set", pond, { target: `job/${id}`, field, value, effective_from });
  if (mine) return job.active === on ? [] : [set("active", on, today)];
  if (!on) return [];
  // Switched on, also where it is offered switched off.
  const told = Object.entries(job).filter(([field, value]) => field in PLAIN_JOB && field !== "active"
    && JSON.stringify(value) !== JSON.stringify(/** @type {Record<string, any>} */ (PLAIN_JOB)[field]));
  return told.map(([field, value]) => set(field, value, null));
}
