// What the Water page shows, worked out from the plan's water, the entries on this device and the moment. No drawing.
import { addDays } from "../../domain/civil.js";
import { answerOf } from "../../domain/answers.js";
import { shownQuantity, shownNumber, volumeUnit } from "../../units.js";
import { number } from "../../formats.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").PondWater} PondWater */
/** @typedef {import("../../domain/types.js").Judged} Judged */
/** @typedef {import("../../parts/answer-card.js").Answered} Answered */

/** How long this device stands by an answer of its own to what home has never judged: as short as home does for any. */
const FIRST_GOOD_MS = 2 * 86400000;

/** @param {{quantity?: string, point?: string}} one */
function keyOf({ quantity, point = "pond" }) {
  return `${quantity}/${point}`;
}

/** The air's readings and the heater's stand on the Warmth page. @param {Seen} one */
export function isOfWater({ entry }) {
  return entry.kind === "reading" && !["outside", "filter_house", "heater"].includes(entry.point ?? "pond");
}

/** Each quantity at each point with its answer: what the server judged, save where this device holds a later reading;
 * that it judges itself, by the server's cuts. Act now first, then as the server lists quantities.
 * @param {Plan|null} plan @param {PondWater|undefined} water @param {string} pond its id
 * @param {Seen[]} facts what stands of the pond, oldest first @param {number} now_ms @returns {Answered[]} */
export function answersOf(plan, water, pond, facts, now_ms) {
  /** @type {Map<string, Seen>} */
  const latest = new Map();
  for (const one of facts) if (isOfWater(one)) latest.set(keyOf(one.entry), one);
  const held = new Set(facts.map((one) => one.id));
  const oldest = facts[0]?.on ?? "";
  // A reading the server judged that is gone from here was taken back, unless it is older than what is kept here.
  const judged = (water?.judged ?? []).filter((one) =>
    !one.entry || held.has(one.entry) || one.at.slice(0, 10) <= oldest);
  const known = new Map(judged.map((one) => [keyOf(one), one]));
  const own = [...latest].flatMap(([key, one]) => {
    const theirs = known.get(key);
    if (theirs && (theirs.entry === one.id || Date.parse(theirs.at) >= Date.parse(one.at))) return [];
    known.delete(key);
    return [judgedHere(one, water)];
  });
  const order = plan?.quantities.map((one) => one.quantity) ?? [];
  const places = Object.keys(waterWords.points);
  const rank = (one) => places.indexOf(one.point) * 100 + ((order.indexOf(one.quantity) + 100) % 100);
  return [...known.values(), ...own].map((one) => ({ one, shown: shownAnswer(plan, pond, one, now_ms) }))
    .sort((a, b) => urgency(b.one) - urgency(a.one)
      || Number(b.shown.answer === "act_now") - Number(a.shown.answer === "act_now") || rank(a.one) - rank(b.one))
    .map(({ shown }) => shown);
}

/** Of what cannot wait, fish that cannot breathe come first. @param {Judged} one */
function urgency({ emergency, quantity }) {
  if (!emergency) return 0;
  return quantity === "oxygen_mg_per_l" ? 3 : quantity === "total_chlorine_ug_per_l" ? 2 : 1;
}

/** A reading the server has not judged. @param {Seen} one @param {PondWater|undefined} water
 * @returns {Judged & {waits: boolean}} */
function judgedHere({ id, entry, at }, water) {
  const { quantity = "", point = "pond", value, step } = entry;
  const same = (/** @type {{quantity: string, point: string}} */ other) =>
    other.quantity === quantity && other.point === point;
  const cuts = water?.cuts.find(same);
  const before = water?.judged.find(same);
  const good_ms = before ? Date.parse(before.stale_at) - Date.parse(before.at) : FIRST_GOOD_MS;
  const stale_at = cuts ? new Date(Date.parse(at) + good_ms).toISOString() : "";
  const answer = cuts ? answerOf(cuts, value, step) : "not_known";
  return {
    quantity, point, label: "", unit: "", value, at, stale_at, answer, emergency: false, entry: id,
    why: cuts ? waterWords.answered_here : "", first: [], cautions: [], workings: null,
    waits: !cuts && before !== undefined,
  };
}

/** @param {Plan|null} plan @param {string} pond @param {Judged & {waits?: boolean}} one @param {number} now_ms
 * @returns {Answered} */
function shownAnswer(plan, pond, one, now_ms) {
  const known = shownQuantity(plan, pond, one.quantity);
  const old = one.stale_at !== "" && now_ms >= Date.parse(one.stale_at);
  const answer = old ? "not_known" : one.answer;
  const unjudged = one.answer === "not_known" && one.why === "" && !old && !one.waits;
  const said = old ? waterWords.old : one.waits ? waterWords.waits : waterWords.answers[answer];
  return {
    key: keyOf(one), label: known?.label ?? (one.label || one.quantity),
    where: one.point === "pond" ? "" : waterWords.points[one.point] ?? one.point,
    value: known ? shownNumber(known, one.value) : number(one.value), unit: known?.unit ?? one.unit,
    also: known ? otherWords(known, one.value) : "", at: one.at, answer: unjudged ? null : answer, said,
    emergency: one.emergency && !old, why: one.why, first: old ? [] : one.first, cautions: old ? [] : one.cautions,
    workings: one.workings,
  };
}

/** The same in the unit it is most often mistaken for.
 * @param {import("../../units.js").Shown} known @param {number} value */
function otherWords(known, value) {
  const other = known.others.find(({ unit }) => unit.includes(" as ") || known.unit.includes(" as "));
  if (!other) return "";
  const turned = (value * known.per + known.offset) * other.per + other.offset;
  return `${number(Number(turned.toPrecision(2)))} ${other.unit}`;
}

/** Readings of one quantity at one point, and what was put in meanwhile, for a chart.
 * @param {Seen[]} facts of the pond @param {{quantity: string, point: string}} trend
 * @param {import("../../domain/types.js").Pond} pond */
export function marksFor(facts, trend, pond) {
  const dots = facts.filter(({ entry }) => entry.kind === "reading" && keyOf(entry) === keyOf(trend))
    .map((one) => ({ at_ms: Date.parse(one.at), on: one.on, value: one.entry.value }));
  const doses = trend.quantity !== "kh_dkh" ? [] : facts.filter(({ entry }) => (entry.amount_g ?? 0) > 0)
    .map((one) => ({ at_ms: Date.parse(one.at), on: one.on, g: one.entry.amount_g ?? 0 }));
  const { unit, per } = volumeUnit(pond);
  const changes = facts.filter(({ entry }) => entry.kind === "water_change").map((one) => (
    { at_ms: Date.parse(one.at), on: one.on, text: `${number((one.entry.volume_l ?? 0) * per, 0)} ${unit}` }));
  return { dots, doses, changes };
}

/** The dose jobs of the next seven days. @param {Plan} plan @param {string} pond its id @param {string} today */
export function bufferPlan(plan, pond, today) {
  const last = addDays(today, 6);
  return plan.days.filter((day) => day.date >= today && day.date <= last).flatMap((day) =>
    day.jobs.filter((job) => job.pond === pond && job.shape === "dose").map((job) => ({ date: day.date, job })));
}
