// What a keeper sees to before they go: what is missing, what would go wrong. No drawing here.
import { daysBetween } from "../../domain/civil.js";
import { daysOf, rehearsedOn, sharedJobs, stageOf } from "../../domain/hand-overs.js";
import { shortDate } from "../../formats.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { bagWords } from "./hand-over-bags.js";
import { keyOf, plannedOf } from "./hand-over-values.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** `serious`: it would go wrong; else it is only worth doing. `href`: where it is done
 * @typedef {{id: string, said: string, serious: boolean, href?: string}} Check */

const W = handOverWords.checks;
const LONG_DAYS = 21;
/** A confirmation holds for so many days before the first. */
const CONFIRM_DAYS = 2;
/** Things whose photo a stranger needs most. */
const WANTED = ["residual_current_device", "stopcock", "feed"];

/** @param {HandOver} of @param {Plan} plan @param {HandOver[]} all @param {StandingJob[]} jobs @param {string} today
 * @returns {Check[]} */
export function checksOf(of, plan, all, jobs, today) {
  const stage = stageOf(of, today);
  if (stage === "over" || stage === "called_off") return [];
  const edit = `/hand-overs?edit=${of.id}`;
  const days = daysOf(of).length;
  return [...missing(of, plan, edit), ...overlaps(of, all, jobs, edit),
    ...(days > LONG_DAYS ? [{ id: "long", said: W.long(days), serious: true, href: edit }] : []),
    ...bufferLimits(of, plan, edit), ...pictures(of, jobs, edit),
    ...(stage === "to_come" ? [...confirmAgain(of, edit), ...ahead(of)] : [])];
}

/** @param {HandOver} of @param {Plan} plan @param {string} edit @returns {Check[]} */
function missing(of, plan, edit) {
  return [...(of.helpers.length === 0 ? [{ id: "helper", said: W.helper, serious: true, href: edit }] : []),
    ...(of.ring.length + plan.ring.length === 0 ? [{ id: "ring", said: W.ring, serious: true, href: edit }] : [])];
}

/** @param {HandOver} of @param {HandOver[]} all @param {StandingJob[]} jobs @param {string} edit @returns {Check[]} */
function overlaps(of, all, jobs, edit) {
  const names = new Map(jobs.map((job) => [keyOf(job), job.text]));
  return all.flatMap((other) => {
    const shared = sharedJobs(of, other).map((key) => names.get(key) ?? key);
    if (shared.length === 0) return [];
    const said = shared.length === 1 ? W.over_job(other.name, shared[0]) : W.over_jobs(other.name, shared.join(", "));
    return [{ id: `with/${other.id}`, said, serious: true, href: edit }];
  });
}

/** @param {HandOver} of @param {Plan} plan @param {string} edit @returns {Check[]} */
function bufferLimits(of, plan, edit) {
  return of.ceilings.flatMap(({ pond, buffer_g_per_day }) => {
    const limit_g = plannedOf(plan, pond, "dose")[0]?.limit_g_24h ?? null;
    const here = plan.ponds.find((one) => one.id === pond);
    const over = here && limit_g !== null && (buffer_g_per_day ?? 0) > limit_g;
    return over ? [{ id: `limit/${pond}`, said: W.buffer_limit(bagWords(limit_g, here)), serious: true,
      href: edit }] : [];
  });
}

/** @param {HandOver} of @param {StandingJob[]} jobs @param {string} edit @returns {Check[]} */
function pictures(of, jobs, edit) {
  const mine = jobs.filter((job) => of.jobs.includes(keyOf(job)));
  const bare = mine.filter((job) => !job.picture);
  const silent = mine.filter((job) => !job.how);
  const things = WANTED.filter((what) => !of.shown.some((one) => one.what === what && one.photo))
    .map((what) => handOverWords.things[/** @type {"feed"} */ (what)]);
  const of_job = (/** @type {StandingJob[]} */ some) => (some.length === 1 ? `/jobs?job=${some[0].id}` : "/jobs");
  const said = (/** @type {StandingJob[]} */ some) => some.map((job) => job.text).join(", ");
  return [
    ...(bare.length > 0 ? [{ id: "pictures", said: W.pictures(said(bare)), serious: false, href: of_job(bare) }] : []),
    ...(silent.length > 0 ? [{ id: "how", said: W.how(said(silent)), serious: false, href: of_job(silent) }] : []),
    ...(things.length > 0 ? [{ id: "things", said: W.things(things.join(", ")), serious: false, href: edit }] : [])];
}

/** What the buffer rests on was measured some days before they go. @param {HandOver} of @param {string} edit
 * @returns {Check[]} */
function confirmAgain(of, edit) {
  const early = of.ceilings.some(({ buffer_g_per_day, confirmed_on }) => buffer_g_per_day && confirmed_on
    && of.begins_on && daysBetween(confirmed_on, of.begins_on) > CONFIRM_DAYS);
  return early ? [{ id: "confirm", said: W.confirm_again, serious: false, href: edit }] : [];
}

/** @param {HandOver} of @returns {Check[]} */
function ahead(of) {
  const on = rehearsedOn(of);
  const bags = of.ceilings.some((one) => one.feed_g_per_day || one.buffer_g_per_day);
  return [...(bags ? [{ id: "bags", said: W.bags, serious: false }] : []),
    ...(on ? [{ id: "rehearsal", said: W.rehearsal(shortDate(on)), serious: false }] : [])];
}
