// What the round shows, worked out from the store and the moment. No drawing here.
import { addDays } from "../../domain/civil.js";
import { jobKey, standing, standingOf } from "../../domain/fold.js";
import { lateness, latenessKind } from "../../domain/late.js";
import { jobsOn, nameOf, roundOf } from "../../domain/today.js";
import { parsed } from "../../formats.js";
import { shownQuantity, toStored } from "../../units.js";

/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/today.js").JobNow} JobNow */
/** @typedef {{job: Job, now: JobNow}} Stop */

const PARTS = ["morning", "midday", "dusk", "bedtime"];

/** A value typed on a card acts as a reading at this moment; one that no kit could show does not.
 * @param {Plan} plan @param {Record<string, string>} drafts @param {string} at @returns {Seen[]} */
function typedReadings(plan, drafts, at) {
  const jobs = plan.days.flatMap((day) => day.jobs);
  return Object.entries(drafts).flatMap(([name, text]) => {
    const job = jobs.find((one) => nameOf(one) === name);
    const typed = parsed(text);
    const known = job && shownQuantity(plan, job.pond, job.chart?.quantity);
    if (!job?.chart || !known || !(typed >= known.low && typed <= known.high)) return [];
    const { pond, chart: { quantity } } = job;
    const value = toStored(known, typed);
    const entry = /** @type {any} */ ({ id: "typed", v: 1, pond, kind: "reading", quantity, value, point: "pond" });
    return [{ id: "typed", entry, seq: null, at, on: at.slice(0, 10) }];
  });
}

/** The stops of a date, in walking order. @param {Plan} plan @param {Map<string, Seen>} seen
 * @param {Record<string, string>} drafts @param {string} date @param {number} now_ms @returns {Stop[]} */
export function stopsOn(plan, seen, drafts, date, now_ms) {
  const at = new Date(now_ms).toISOString();
  const typed = typedReadings(plan, drafts, at);
  const facts = typed.length > 0 ? standing([...seen.values(), ...typed]) : standingOf(seen);
  const jobs = new Map(jobsOn(plan.days, facts, plan.log_seq, date).map((job) => [nameOf(job), job]));
  const answers = roundOf(plan.days, facts, plan.log_seq, plan.good_until, at, date);
  return answers.map((now) => ({ now, job: /** @type {Job} */ (jobs.get(nameOf(now))) }));
}

/** Stops of a day to come, as the plan has them: what may be given this minute says nothing about that evening.
 * @param {Stop[]} stops @returns {Stop[]} */
export function asPlanned(stops) {
  return stops.map(({ job, now }) => {
    if (now.answers.length > 0 || job.state !== "open") return { job, now };
    return { job, now: { ...now, state: "upcoming", amount_g: job.amount_g, reason: job.reason } };
  });
}

/** Last night's stops whose window is still open, when the day has changed since the plan was made.
 * @param {Plan} plan @param {Map<string, Seen>} seen @param {Record<string, string>} drafts @param {string} today
 * @param {number} now_ms @param {Stop[]} known */
export function leftFromYesterday(plan, seen, drafts, today, now_ms, known) {
  const here = new Set(known.map((stop) => nameOf(stop.job)));
  return stopsOn(plan, seen, drafts, addDays(today, -1), now_ms)
    .filter((stop) => stop.now.state === "due" && !here.has(nameOf(stop.job)));
}

/** @typedef {{place: string, stops: Stop[]}} Place */
/** @typedef {{part: string, opens_at: string, closes_at: string, upcoming: boolean, answered: boolean,
 *   places: Place[]}} Part */

/** Stops by part of the day, then by place as one walks past it. @param {Stop[]} stops @returns {Part[]} */
export function walk(stops) {
  return PARTS.map((part) => partOf(part, stops.filter((stop) => stop.job.part === part)))
    .filter((part) => part.places.length > 0);
}

/** @param {string} part @param {Stop[]} here @returns {Part} */
function partOf(part, here) {
  /** @type {Place[]} */
  const places = [];
  for (const stop of here) {
    const last = places[places.length - 1];
    if (last?.place === stop.job.place) last.stops.push(stop);
    else places.push({ place: stop.job.place, stops: [stop] });
  }
  const opens_at = here.reduce((at, { job }) => (at && at < job.opens_at ? at : job.opens_at), "");
  const closes_at = here.reduce((at, { job }) => (at > job.closes_at ? at : job.closes_at), "");
  const every = (/** @type {(now: JobNow) => boolean} */ holds) => here.every((stop) => holds(stop.now));
  const upcoming = every((now) => now.state === "upcoming");
  return { part, places, opens_at, closes_at, upcoming, answered: every((now) => now.answers.length > 0) };
}

/** @param {Stop} stop */
export function isOpen({ now }) {
  return now.state === "due" || now.state === "late" || now.state === "upcoming";
}

/** Whether the stop is stood down, and so one tap away. A dose stays in its place: it waits for a reading to change it.
 * @param {Stop} stop */
export function isAway({ job, now }) {
  return now.state === "stood_down" && job.chart === null;
}

/** Whether the stop wants the keeper now: due or late, or waiting for nothing but a reading.
 * @param {Stop} stop @param {number} now_ms */
export function isWanted({ job, now }, now_ms) {
  if (now.state === "due" || now.state === "late") return true;
  const wants_reading = now.state === "held_back" && job.chart !== null && now.reason === job.chart.no_reading_reason;
  return wants_reading && now_ms >= Date.parse(job.opens_at);
}

/** Late beyond what may wait. @param {Stop} stop @param {number} now_ms */
export function isLate({ job, now }, now_ms) {
  return now.state === "late" && latenessKind(job, now_ms) !== "can_wait";
}

/** What matters most first. @param {Stop[]} stops @param {number} now_ms @returns {Stop[]} */
export function byLateness(stops, now_ms) {
  return [...stops].sort((a, b) => lateness(b.job, now_ms) - lateness(a.job, now_ms));
}

/** The late stops as a part of their own, ahead of the day's. @param {Stop[]} stops @returns {Part[]} */
export function lateFirst(stops) {
  return stops.length === 0 ? [] : [{ ...partOf("late", stops), upcoming: false }];
}

/** What to do next: what can wait only when nothing else is wanted. @param {Stop[]} stops @param {number} now_ms */
export function nextStop(stops, now_ms) {
  const wanted = stops.filter((stop) => isWanted(stop, now_ms));
  return wanted.find(({ job }) => latenessKind(job, now_ms) !== "can_wait") ?? wanted[0];
}

/** Those that may wait past their window. @param {Stop[]} stops @param {number} now_ms */
export function slipping(stops, now_ms) {
  return stops.filter(({ job }) => job.waits_until && job.waits_until > job.closes_at
    && now_ms < Date.parse(job.waits_until));
}

/** @typedef {{stops: Stop[], rest: Seen[], done: number, missed: number}} DayGoneBy */

/** A day gone by: its jobs as they were shown then with what became of them, and what else was recorded.
 * @param {Plan|null} plan @param {Map<string, Seen>} seen @param {string} date @param {number} now_ms
 * @returns {DayGoneBy} */
export function dayGoneBy(plan, seen, date, now_ms) {
  const facts = standingOf(seen);
  const day = [...plan?.back ?? [], ...plan?.days ?? []].find((one) => one.date === date);
  const answers = answersByJob(facts);
  const stops = (day?.jobs ?? []).map((job) => ({ job, now: becameOf(job, answers.get(nameOf(job)) ?? [], now_ms) }));
  const told = new Set(stops.flatMap(({ now }) => now.answers));
  const count = (/** @type {JobNow["state"]} */ state) => stops.filter(({ now }) => now.state === state).length;
  return {
    stops, rest: facts.filter((one) => one.on === date && !told.has(one.id)),
    done: count("done"), missed: count("lapsed"),
  };
}

/** @type {WeakMap<Seen[], Map<string, Seen[]>>} */
const answered = new WeakMap();

/** The same facts are looked through once, for however many days.
 * @param {Seen[]} facts @returns {Map<string, Seen[]>} */
function answersByJob(facts) {
  const known = answered.get(facts);
  if (known) return known;
  /** @type {Map<string, Seen[]>} */
  const found = new Map();
  answered.set(facts, found);
  for (const one of facts) {
    if (one.entry.kind !== "tick" && one.entry.kind !== "not_done") continue;
    const name = `${one.entry.pond}/${jobKey(one.entry)}`;
    const before = found.get(name);
    if (before) before.push(one);
    else found.set(name, [one]);
  }
  return found;
}

/** @param {Job} job @param {Seen[]} about @param {number} now_ms @returns {JobNow} */
function becameOf(job, about, now_ms) {
  const { pond, id, amount_g, reason } = job;
  const plain = { pond, id, amount_g, reason, given_g: null, answers: about.map((one) => one.id) };
  if (about.some((one) => one.entry.kind === "tick")) return { ...plain, state: "done" };
  if (about.length > 0) return { ...plain, state: "not_done" };
  if (job.state !== "open") return { ...plain, state: job.state };
  if (now_ms <= Date.parse(job.closes_at)) return { ...plain, state: "due" };
  return { ...plain, state: latenessKind(job, now_ms) === "can_wait" ? "late" : "lapsed" };
}

/** What was recorded on a date and stands, oldest first. @param {Map<string, Seen>} seen @param {string} date */
export function recordedOn(seen, date) {
  return standingOf(seen).filter((one) => one.on === date);
}

/** Buffer given in the last day by ticks and doses, as {who, at, amount_g}.
 * @param {Map<string, Seen>} seen @param {string} pond @param {number} now_ms */
export function givenLately(seen, pond, now_ms) {
  return standingOf(seen).filter(({ entry, at }) =>
    entry.pond === pond && (entry.amount_g ?? 0) > 0 && Date.parse(at) > now_ms - 86400000 && Date.parse(at) <= now_ms);
}

