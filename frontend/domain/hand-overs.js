// Hand-overs as this device knows them: those of the plan, and over them the settings home had not counted yet when it
// made that plan. So a keeper sees what they set at once, with no signal too.
import { addDays, daysBetween } from "./civil.js";
import { withdrawnIds } from "./fold.js";

/** @typedef {import("./types.js").Seen} Seen */
/** @typedef {import("./types.js").Plan} Plan */

/**
 * @typedef {{id: string, name: string, tel?: string|null}} Helper
 * @typedef {{name: string, tel: string}} Contact
 * @typedef {{what: string, where?: string|null, photo?: string|null}} Shown
 *
 * @typedef {object} Ceiling     the most a helper may give a pond in a day; null is none at all
 * @property {string} pond
 * @property {number|null} [feed_g_per_day]
 * @property {number|null} [buffer_g_per_day]
 * @property {string} [substance]
 * @property {number|null} [buffer_kh_dkh]   the reading from which the keeper confirmed the buffer
 * @property {string|null} [confirmed_on]
 *
 * @typedef {object} HandOver    mirrors the server's domain/away/hand_over.py; jobs are "pond/standing job"
 * @property {string} id
 * @property {string} pond
 * @property {string} name
 * @property {string|null} begins_on
 * @property {string|null} ends_on
 * @property {string|null} rehearsal_on
 * @property {Helper[]} helpers
 * @property {string[]} jobs
 * @property {Ceiling[]} ceilings
 * @property {boolean} other_doses
 * @property {Shown[]} shown
 * @property {string|null} words
 * @property {Contact[]} ring
 * @property {boolean} called_off
 */

/** What a field is while nobody has set it; mirrors the server's, which a test compares. */
export const PLAIN_HAND_OVER = Object.freeze({
  name: "While we are away", begins_on: null, ends_on: null, rehearsal_on: null, helpers: [], jobs: [], ceilings: [],
  other_doses: false, shown: [], words: null, ring: [], called_off: false,
});

const TARGET = "hand-over/";

/** Every hand-over the device knows of, the last to begin first.
 * @param {Plan|null} plan @param {Map<string, Seen>} seen @returns {HandOver[]} */
export function handOvers(plan, seen) {
  const told = /** @type {any[]} */ (/** @type {any} */ (plan)?.hand_overs ?? []);
  /** @type {Map<string, any>} */
  const found = new Map(told.map((one) => [one.id, { ...PLAIN_HAND_OVER, ...one }]));
  for (const { entry } of newSettings(seen, plan?.log_seq ?? 0)) {
    const id = (entry.target ?? "").slice(TARGET.length);
    const before = found.get(id) ?? { ...PLAIN_HAND_OVER, id, pond: entry.pond };
    found.set(id, { ...before, [entry.field ?? ""]: entry.value });
  }
  return [...found.values()].sort((a, b) => ((a.begins_on ?? "9") < (b.begins_on ?? "9") ? 1 : -1));
}

/** In the order in which they count. @param {Map<string, Seen>} seen @param {number} log_seq */
function newSettings(seen, log_seq) {
  const all = [...seen.values()];
  const settings = all.filter(({ entry, seq }) => entry.kind === "set" && entry.target?.startsWith(TARGET)
    && (seq === null || seq > log_seq));
  if (settings.length === 0) return [];
  const gone = withdrawnIds(all);
  return settings.filter(({ id }) => !gone.has(id))
    .sort((a, b) => (a.seq ?? Infinity) - (b.seq ?? Infinity) || Date.parse(a.at) - Date.parse(b.at)
      || (a.id < b.id ? -1 : 1));
}

/** Every date of it. @param {HandOver} hand_over @returns {string[]} */
export function daysOf({ begins_on, ends_on }) {
  if (!begins_on || !ends_on || ends_on < begins_on) return [];
  return Array.from({ length: Math.min(366, daysBetween(begins_on, ends_on) + 1) }, (_, n) => addDays(begins_on, n));
}

/** @typedef {"unset"|"called_off"|"to_come"|"runs"|"over"} Stage */

/** Where it stands on that date. @param {HandOver} hand_over @param {string} today @returns {Stage} */
export function stageOf({ begins_on, ends_on, called_off }, today) {
  if (called_off) return "called_off";
  if (!begins_on || !ends_on) return "unset";
  if (today < begins_on) return "to_come";
  return today <= ends_on ? "runs" : "over";
}

/** The date of the trial round. @param {HandOver} hand_over @returns {string|null} */
export function rehearsedOn({ rehearsal_on, begins_on }) {
  return rehearsal_on ?? (begins_on && addDays(begins_on, -1));
}

/** What may be given at a pond; nothing where nothing was said. @param {HandOver} hand_over @param {string} pond
 * @returns {Ceiling} */
export function ceilingOf({ ceilings }, pond) {
  return ceilings.find((one) => one.pond === pond) ?? { pond };
}

/** Jobs that are in both, on days that are in both.
 * @param {HandOver} one @param {HandOver} other @returns {string[]} */
export function sharedJobs(one, other) {
  if (one.id === other.id || one.called_off || other.called_off) return [];
  const [days, others] = [daysOf(one), daysOf(other)];
  if (days.length === 0 || others.length === 0) return [];
  const apart = days[days.length - 1] < others[0] || others[others.length - 1] < days[0];
  return apart ? [] : one.jobs.filter((job) => other.jobs.includes(job));
}
