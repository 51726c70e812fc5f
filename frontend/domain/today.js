// What a device does with a plan, and no other arithmetic. The server's copy is
// backend/evenwater/domain/rounds/today.py.
//
// (a) due or late, from window and clock; (b) done, not done or taken back, from entries; (c) a job that comes
// so many days after it was done moves when it is done; (d) an amount follows a reading the plan has not seen,
// less what was given since; (e) held back when the day's limit leaves nothing; (f) held back while the power is out
// or water runs in, where the job says so; (g) a helper's bag stays shut when somebody gave of the same since the date
// it is due.
//
// Both copies answer every case of tests/reference/rounds/device_cases.json alike, to the last bit: keep the order of
// operations.
import { addDays } from "./civil.js";
import { powerOut, waterRunning } from "./events.js";
import { isReading, jobKey } from "./fold.js";

/** @typedef {import("./types.js").Job} Job */
/** @typedef {import("./types.js").Day} Day */
/** @typedef {import("./types.js").Seen} Seen */
/** @typedef {import("./types.js").Chart} Chart */

/**
 * @typedef {object} JobNow      a job as it stands this moment
 * @property {string} pond
 * @property {string} id
 * @property {"upcoming"|"due"|"late"|"lapsed"|"done"|"not_done"|"stood_down"|"held_back"|
 *   "not_known"} state
 * @property {number|null} amount_g
 * @property {string} reason
 * @property {number|null} given_g      given in the last 24 h
 * @property {string[]} answers         ids of the entries about it
 */

const POWER_OUT_REASON = "The power is out: this waits until it is back.";
const GIVEN_REASON = "Given today already, by somebody: leave this bag shut.";
const WATER_RUNNING_REASON = "Water is running in: this waits until it is shut off.";
const DAY_MS = 86400000;
const HOUR_MS = 3600000;
const SLACK = 1e-9;

/** The round of the date `on` as it stands at `now`, in walking order.
 * @param {Day[]} days          the plan's days
 * @param {Seen[]} facts        what stands of all this device has, confirmed or not, oldest first
 * @param {number} log_seq      the last entry the plan has counted
 * @param {string} good_until   past it only fixed jobs stand, without amounts
 * @param {string} now          the corrected clock, RFC 3339
 * @param {string} on           which day's round
 * @returns {JobNow[]} */
export function roundOf(days, facts, log_seq, good_until, now, on) {
  const now_ms = Date.parse(now);
  const fresh = now_ms <= Date.parse(good_until);
  return jobsOn(days, facts, log_seq, on)
    .filter((job) => fresh || job.fixed)
    .map((job) => jobNow(job, facts, log_seq, now_ms, fresh));
}

/** The jobs of a date, with those moved that were done since the plan was made.
 * @param {Day[]} days @param {Seen[]} facts @param {number} log_seq @param {string} on @returns {Job[]} */
export function jobsOn(days, facts, log_seq, on) {
  const moved = movedJobs(days, facts, log_seq);
  const jobs = days.filter((day) => day.date === on).flatMap((day) => day.jobs)
    .filter((job) => !moved.has(group(job)) || answersTo(job, facts).some((one) => one.on === on));
  const known = new Set(jobs.map(nameOf));
  const arrived = [...moved.values()].flat().filter((job) => job.due_on === on && !known.has(nameOf(job)));
  return [...jobs, ...arrived];
}

/** What one job goes by: ponds have jobs of the same id. @param {{pond: string, id: string}} one */
export function nameOf({ pond, id }) {
  return `${pond}/${id}`;
}

/** @param {{pond: string, standing_job?: string, slot?: string}} one */
function group(one) {
  return `${one.pond}/${one.standing_job}/${one.slot}`;
}

/** For each job done since the plan was made: the occurrences it has instead of the plan's.
 * @param {Day[]} days @param {Seen[]} facts @param {number} log_seq */
function movedJobs(days, facts, log_seq) {
  /** @type {Map<string, Job>} */
  const first = new Map();
  for (const job of days.flatMap((day) => day.jobs)) {
    if (job.after_done_days !== null && job.next_windows && !first.has(group(job))) first.set(group(job), job);
  }
  /** @type {Map<string, Job[]>} */
  const moved = new Map();
  for (const [name, job] of first) {
    const done_on = doneSincePlan(name, facts, log_seq);
    if (done_on && job.after_done_days) moved.set(name, redated(job, done_on, job.after_done_days));
  }
  return moved;
}

/** @param {string} name @param {Seen[]} facts @param {number} log_seq @returns {string|null} */
function doneSincePlan(name, facts, log_seq) {
  const dates = facts
    .filter((one) => !counted(one, log_seq) && one.entry.kind === "tick" && group(one.entry) === name)
    .map((one) => one.on);
  return dates.length ? dates.reduce((a, b) => (a > b ? a : b)) : null;
}

/** @param {Job} job @param {string} done_on @param {number} after_days @returns {Job[]} */
function redated(job, done_on, after_days) {
  const windows = job.next_windows ?? {};
  const last = Object.keys(windows).reduce((a, b) => (a > b ? a : b), "");
  const jobs = [];
  for (let due_on = addDays(done_on, after_days); due_on <= last; due_on = addDays(due_on, after_days)) {
    const window = windows[due_on];
    if (!window) continue;
    const id = `${job.standing_job}/${due_on}/${job.slot}`;
    jobs.push({ ...job, id, due_on, opens_at: window[0], closes_at: window[1] });
  }
  return jobs;
}

/** @param {Seen} one @param {number} log_seq */
function counted(one, log_seq) {
  return one.seq !== null && one.seq <= log_seq;
}

/** @param {Job} job @param {Seen[]} facts */
function answersTo(job, facts) {
  return facts.filter(({ entry }) =>
    // Nearly every entry is of another job: no key is made of it.
    entry.standing_job === job.standing_job && (entry.kind === "tick" || entry.kind === "not_done")
    && entry.pond === job.pond && jobKey(entry) === job.id);
}

/** One job as it stands: (a), (b) and (d) to (g). `fresh` is false past the plan's end.
 * @param {Job} job @param {Seen[]} facts @param {number} log_seq @param {number} now_ms @param {boolean} fresh
 * @returns {JobNow} */
function jobNow(job, facts, log_seq, now_ms, fresh) {
  const about = answersTo(job, facts);
  const answers = about.map((one) => one.entry.id);
  const plain = { pond: job.pond, id: job.id, amount_g: null, reason: job.reason, given_g: null, answers };
  if (about.some((one) => one.entry.kind === "tick")) return { ...plain, state: "done" };
  if (about.length) return { ...plain, state: "not_done" };
  if (job.state !== "open") return { ...plain, state: job.state };
  const state = byClock(job, now_ms);
  if (state === "lapsed") return { ...plain, state };
  const waits = state === "due" || state === "late" ? heldByEvent(job, facts, now_ms) : null;
  if (waits !== null) return { ...plain, state: "held_back", reason: waits };
  if (typeof job.bag === "number") return { ...plain, ...bagNow(job, state, facts) };
  if (!job.chart || job.unrounded_g === null || !fresh) return { ...plain, state };
  const { amount_g, given_g, held, enough } = amountNow(job.chart, job, facts, log_seq, now_ms);
  if (held !== null) return { ...plain, state: "held_back", amount_g: 0, reason: held, given_g };
  if (enough !== null) return { ...plain, state: "stood_down", amount_g: 0, reason: enough, given_g };
  return { ...plain, state, amount_g, given_g };
}

/** (g): a bag is given whole, or not at all where that would be more than the most for its date.
 * @param {Job} job @param {JobNow["state"]} state @param {Seen[]} facts
 * @returns {Pick<JobNow, "state"|"amount_g"|"reason"|"given_g">} */
function bagNow(job, state, facts) {
  const given_g = givenSince(job, facts);
  const bag_g = (job.shape === "feed" ? job.feed_g : job.amount_g) ?? 0;
  if (given_g > 0 && given_g + bag_g > (job.limit_g_24h ?? 0) + SLACK) {
    return { state: "held_back", amount_g: 0, reason: GIVEN_REASON, given_g };
  }
  return { state, amount_g: job.amount_g, reason: job.reason, given_g };
}

/** Grams of food, or of buffer of any kind, that the pond was given since the date the job is due.
 * @param {Job} job @param {Seen[]} facts */
function givenSince(job, facts) {
  const [kind, grams] = job.shape === "feed" ? /** @type {const} */ (["feed", "feed_g"])
    : /** @type {const} */ (["dose", "amount_g"]);
  return facts
    .filter(({ entry, on }) => entry.pond === job.pond && on >= job.due_on
      && (entry.kind === "tick" || entry.kind === kind))
    .reduce((total, { entry }) => total + (entry[grams] ?? 0), 0);
}

/** @param {Job} job @param {number} now_ms @returns {"upcoming"|"due"|"late"|"lapsed"} */
function byClock(job, now_ms) {
  if (now_ms < Date.parse(job.opens_at)) return "upcoming";
  if (now_ms <= Date.parse(job.closes_at)) return "due";
  return job.lapses_at && now_ms >= Date.parse(job.lapses_at) ? "lapsed" : "late";
}

/** (f): why it waits for what goes on at the pond to end.
 * @param {Job} job @param {Seen[]} facts @param {number} now_ms @returns {string|null} */
function heldByEvent(job, facts, now_ms) {
  const held_while = job.held_while ?? [];
  if (held_while.includes("power_out") && powerOut(facts, now_ms)) return POWER_OUT_REASON;
  if (held_while.includes("water_running") && waterRunning(facts, now_ms, job.pond)) return WATER_RUNNING_REASON;
  return null;
}

/** (d) and (e): the amount by the newest reading the plan has not counted, or by the plan.
 *
 * From a reading's amount everything given after it is taken off, whoever gave it and whether the plan knew; from
 * the plan's amount, what the plan has not counted. Never more than the 24 h limit leaves.
 * @param {Chart} chart @param {Job} job @param {Seen[]} facts @param {number} log_seq @param {number} now_ms
 * @returns {{amount_g: number, given_g: number, held: string|null, enough: string|null}} */
function amountNow(chart, job, facts, log_seq, now_ms) {
  const doses = dosesOf(job.pond, chart, facts).filter((dose) => dose.at_ms <= now_ms);
  const given_g = sum(doses.filter((dose) => dose.at_ms > now_ms - DAY_MS));
  const ceiling_g = Math.max(0, (job.limit_g_24h ?? 0) - given_g);
  const reading = newestReading(job.pond, chart, facts, log_seq, now_ms);
  let wanted_g;
  if (reading === null) {
    if (chart.no_reading_reason !== null) return { amount_g: 0, given_g, held: chart.no_reading_reason, enough: null };
    wanted_g = (job.unrounded_g ?? 0) - sum(doses.filter((dose) => !counted(dose.one, log_seq)));
  } else {
    const hold = chart.hold_below;
    if (hold && reading.value < hold.reading) return { amount_g: 0, given_g, held: hold.reason, enough: null };
    wanted_g = charted(chart, reading.value, 1) - sum(doses.filter((dose) => dose.at_ms > reading.at_ms));
  }
  wanted_g = Math.max(0, wanted_g);
  if (ceiling_g <= SLACK) return { amount_g: 0, given_g, held: chart.limit_reason, enough: null };
  const amount_g = roundedGrams(wanted_g, ceiling_g, chart.capful_g);
  return { amount_g, given_g, held: null, enough: amount_g > 0 ? null : chart.enough_reason };
}

/** @param {{g: number}[]} doses */
function sum(doses) {
  return doses.reduce((total, dose) => total + dose.g, 0);
}

/** Every buffer dose with its grams as this chart's substance.
 * @param {string} pond @param {Chart} chart @param {Seen[]} facts */
function dosesOf(pond, chart, facts) {
  return facts
    .filter(({ entry }) =>
      (entry.kind === "tick" || entry.kind === "dose") && entry.pond === pond && typeof entry.amount_g === "number")
    .map((one) => ({
      one, at_ms: Date.parse(one.at), g: (one.entry.amount_g ?? 0) * (chart.equal_g[one.entry.substance ?? ""] ?? 1),
    }));
}

/** @param {string} pond @param {Chart} chart @param {Seen[]} facts @param {number} log_seq @param {number} now_ms
 * @returns {{value: number, at_ms: number}|null} */
function newestReading(pond, chart, facts, log_seq, now_ms) {
  for (const one of [...facts].reverse()) {
    const at_ms = Date.parse(one.at);
    if (!isReading(one, pond, chart.quantity) || at_ms > now_ms) continue;
    const usable = at_ms >= now_ms - chart.good_for_h * HOUR_MS && !counted(one, log_seq);
    return usable ? { value: one.entry.value, at_ms } : null;
  }
  return null;
}

/** A column of the chart at a reading: straight lines between rows, flat outside.
 * @param {Chart} chart @param {number} value @param {1|2|3} column @returns {number} */
export function charted(chart, value, column) {
  const rows = chart.rows;
  if (value <= rows[0][0]) return rows[0][column];
  for (let n = 1; n < rows.length; n += 1) {
    const [low, high] = [rows[n - 1], rows[n]];
    if (value <= high[0]) {
      const share = (value - low[0]) / (high[0] - low[0]);
      return low[column] + share * (high[column] - low[column]);
    }
  }
  return rows[rows.length - 1][column];
}

/** Grams in whole quarter capfuls (whole grams without a capful): to the nearest, down where the limit binds.
 * @param {number} wanted_g @param {number} ceiling_g @param {number|null} capful_g */
function roundedGrams(wanted_g, ceiling_g, capful_g) {
  const unit = capful_g ? capful_g / 4 : 1;
  let parts = Math.floor(wanted_g / unit + 0.5);
  if (wanted_g >= ceiling_g || parts * unit > ceiling_g + SLACK) {
    parts = Math.floor(Math.min(wanted_g, ceiling_g) / unit + SLACK);
  }
  return parts * unit;
}
