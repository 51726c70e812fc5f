// The printed sheet's jobs and days, worked out of the plan and the standing jobs. No drawing here.
import { daysOf, ceilingOf } from "../../domain/hand-overs.js";
import { amount, clock, number, shortDate } from "../../formats.js";
import { sheetWords } from "../../words/sheet-words.js";
import { isByBag, keyOf } from "./hand-over-values.js";
import { recurWords, seasonWords } from "../jobs/job-when.js";
import { windowWords } from "../jobs/job-windows.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/**
 * @typedef {object} SheetJob      one job of the sheet, whichever day
 * @property {string} key          pond/standing job/slot
 * @property {number} number       from 1
 * @property {string} text
 * @property {string} shape
 * @property {string} where        place, and pond where there are several
 * @property {string} part
 * @property {string} time
 * @property {string} often
 * @property {string} much
 * @property {string} right        how one knows it is right
 * @property {string} why
 * @property {string[]} cautions
 * @property {string|null} picture
 * @property {Set<string>|null} dates   on which it is due; null where nobody can say yet
 * @property {Record<string, number>} settings   by date [°C]
 *
 * @typedef {{date: string, day: string, bag: number, food: string, buffer: string, setting: string,
 *   due: boolean[]}} SheetDay
 */

const W = sheetWords;
const PARTS = ["morning", "midday", "dusk", "bedtime"];

/** @param {HandOver} of @param {Plan} plan @param {StandingJob[]} jobs @returns {SheetJob[]} */
export function sheetJobs(of, plan, jobs) {
  const mine = jobs.filter((job) => of.jobs.includes(keyOf(job)));
  const order = walkOrder(plan);
  const feeds = mine.filter((job) => job.shape === "feed").flatMap((job) => Object.keys(job.windows)).length;
  const rows = mine.flatMap((job) => Object.keys(job.windows).map((slot) => ({ job, slot })))
    .map(({ job, slot }) => ({ ...rowOf(of, plan, job, slot, feeds > 1), at: order.get(`${keyOf(job)}/${slot}`)
      ?? Infinity }))
    .filter((row) => row.dates === null || row.dates.size > 0);
  rows.sort((a, b) => PARTS.indexOf(a.part) - PARTS.indexOf(b.part) || (a.at < b.at ? -1 : 1));
  return rows.map(({ at, ...row }, n) => ({ ...row, number: n + 1 }));
}

/** Where each job stands in the walk. @param {Plan} plan @returns {Map<string, number>} */
function walkOrder(plan) {
  const jobs = plan.days.flatMap((day) => day.jobs.map((job, n) => /** @type {[string, number]} */ ([slotOf(job), n])));
  return new Map(jobs.reverse());
}

/** @param {Job} job */
function slotOf({ pond, standing_job, slot }) {
  return `${pond}/${standing_job}/${slot}`;
}

/** @param {HandOver} of @param {Plan} plan @param {StandingJob} job @param {string} slot @param {boolean} shared
 * whether food is given more than once a day */
function rowOf(of, plan, job, slot, shared) {
  const key = `${keyOf(job)}/${slot}`;
  const pond = plan.ponds.find((one) => one.id === job.pond) ?? plan.ponds[0];
  const [first, last] = [of.begins_on ?? "", of.ends_on ?? ""];
  const planned = plan.days.flatMap((day) => day.jobs).filter((one) => slotOf(one) === key);
  const inside = planned.filter((one) => one.due_on >= first && one.due_on <= last);
  const known = last <= plan.days[plan.days.length - 1].date;
  const one = inside[0] ?? planned[0];
  const daily = job.recur.every === "day" && !job.season && job.only_if.length === 0;
  const window = job.windows[slot];
  return {
    key, text: job.texts[slot] ?? job.text, shape: job.shape, part: window.part, picture: job.picture,
    cautions: job.cautions,
    where: [job.place, plan.ponds.length > 1 && pond.name].filter(Boolean).join(", "),
    time: one ? W.between(clock(one.opens_at, pond.zone), clock(one.closes_at, pond.zone)) : windowWords(window),
    often: daily ? W.every_day : known ? W.on_days(inside.map((each) => shortDate(each.due_on)).join(", "))
      : [recurWords(job.recur, plan, pond), seasonWords(job.season)].filter(Boolean).join(", "),
    right: job.how ?? "", why: job.why ?? "", much: muchOf(job, inside, shared),
    dates: daily ? new Set(daysOf(of)) : known ? new Set(inside.map((each) => each.due_on)) : null,
    settings: Object.fromEntries(inside.flatMap((each) => (each.setting_c === null ? []
      : [[each.due_on, each.setting_c]]))),
  };
}

/** @param {StandingJob} job @param {Job[]} inside @param {boolean} shared */
function muchOf(job, inside, shared) {
  if (job.shape === "feed") return shared ? W.feed_shared : W.feed_bag;
  if (job.shape === "dose") return W.buffer_bag;
  if (job.shape !== "setting") return job.amount ?? "";
  const all = new Set(inside.flatMap((one) => (one.setting_c === null ? [] : [one.setting_c])));
  if (all.size > 1) return W.set_by_day;
  const setting_c = [...all][0] ?? job.setting_c;
  return setting_c === null ? "" : W.set_to(number(setting_c));
}

/** @param {HandOver} of @param {Plan} plan @param {SheetJob[]} jobs @returns {SheetDay[]} */
export function sheetDays(of, plan, jobs) {
  const settings = jobs.filter((job) => new Set(Object.values(job.settings)).size > 1);
  return daysOf(of).map((date, n) => ({
    date, day: shortDate(date), bag: n + 1, food: bagsOf(of, plan, "feed_g_per_day", n + 1),
    buffer: bagsOf(of, plan, "buffer_g_per_day", n + 1),
    setting: settings.map((job) => job.settings[date]).filter(Boolean).map((c) => `${number(c)} °C`).join(", "),
    due: jobs.map((job) => job.dates === null || job.dates.has(date)),
  }));
}

/** "3 (84 g)"; with the pond's name where there are several; empty where nothing is given.
 * @param {HandOver} of @param {Plan} plan @param {"feed_g_per_day"|"buffer_g_per_day"} what @param {number} n */
function bagsOf(of, plan, what, n) {
  const many = plan.ponds.filter((pond) => ceilingOf(of, pond.id)[what]).length > 1;
  return plan.ponds.flatMap((pond) => {
    const grams = ceilingOf(of, pond.id)[what];
    if (!grams) return [];
    const much = what === "buffer_g_per_day" ? bufferWords(grams, pond.capful_g) : `${number(grams)} g`;
    return [W.bag(many ? `${pond.name} ${n}` : String(n), much)];
  }).join(", ");
}

/** @param {number} grams @param {number|null} capful_g */
function bufferWords(grams, capful_g) {
  const { big, small } = amount(grams, capful_g);
  return [big, small].filter(Boolean).join(" · ");
}
