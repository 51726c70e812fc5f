// What the Warmth page shows, worked out from the plan's warmth, the entries on this device and the moment. No drawing.
import { addDays, civilDate } from "../../domain/civil.js";
import { isReading } from "../../domain/fold.js";
import { isOfWater } from "../water/water-view.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").PondWarmth} PondWarmth */

const KINDS = ["cover", "air_forecast"];

/** The water's latest temperature: home's, or a later one this device holds.
 * @param {PondWarmth|undefined} warmth @param {Seen[]} facts of the pond, oldest first @param {string} pond its id
 * @returns {{c: number, at: string, own: boolean}|null} */
export function waterNow(warmth, facts, pond) {
  const own = facts.filter((one) => isReading(one, pond, "temperature_c")).pop();
  const theirs = warmth?.water_at && warmth.water_c !== null ? { c: warmth.water_c, at: warmth.water_at } : null;
  if (own && (!theirs || Date.parse(own.at) > Date.parse(theirs.at))) {
    return { c: own.entry.value, at: own.at, own: theirs !== null };
  }
  return theirs && { ...theirs, own: false };
}

/** What was written down about covers, air, heater and the water's temperature, newest first.
 * @param {Seen[]} facts of the pond, oldest first */
export function warmthFacts(facts) {
  return facts.filter((one) => KINDS.includes(one.entry.kind) || one.entry.quantity === "temperature_c"
    || (one.entry.kind === "reading" && !isOfWater(one))).reverse();
}

/** The day before the night a forecast told now is of: after midnight it is still last evening's, until dawn.
 * @param {Plan} plan @param {Pond} pond @param {number} now_ms */
export function eveningOf(plan, pond, now_ms) {
  const today = civilDate(pond.zone, now_ms);
  const dawn = plan.days.find((day) => day.date === today)?.dawn_at;
  return dawn && now_ms < Date.parse(dawn) ? addDays(today, -1) : today;
}

/** Those of dated settings that still matter: the one that holds today, and all to come.
 * @param {[string, number][]} settings in order @param {string} today @returns {[string, number][]} */
export function settingsAhead(settings, today) {
  const held = settings.filter(([on]) => on <= today).length;
  return settings.slice(Math.max(0, held - 1));
}

/** Which form tells what is lacking, by the words home says it in: the first that fits. @type {[RegExp, string][]} */
const TOLD_BY = [
  [/^water temperature/i, "/warmth?record=water"],
  [/tariff/i, "/warmth?tariff"],
  [/meter/i, "/warmth?record=meter"],
  [/filter house/i, "/warmth?house"],
  [/weather service|where the pond/i, "/warmth?place"],
  [/heater/i, "/warmth?heater"],
  [/band/i, "/warmth?band"],
  [/wall|cover|shape/i, "/warmth?walls"],
  [/volume/i, "/pond"],
];

/** @param {string} line what home lacks @returns {string|undefined} where to tell it */
export function toldBy(line) {
  return TOLD_BY.find(([words]) => words.test(line))?.[1];
}
