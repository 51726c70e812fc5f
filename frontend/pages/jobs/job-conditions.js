// Conditions of a standing job, built from parts and read back in words, in the keeper's units.
import { number } from "../../formats.js";
import { conditionWords, jobsWords, whenWords } from "../../words/jobs-words.js";
import { isAt, shownQuantity, shownValue } from "../../units.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Condition} Condition */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Rows} Rows */
/** @typedef {{plan: Plan, pond: Pond, jobs: Record<string, string>}} Around   `jobs`: names by id */

const W = conditionWords;
const MOST = 4;
/** Numbers of the weather and of the pages that are a quantity's: its unit is the keeper's.
 * @type {Record<string, string>} */
const QUANTITY_OF = { air_low_c: "air_temperature_c", air_high_c: "air_temperature_c", kh_tomorrow_dkh: "kh_dkh",
  water_dawn_c: "temperature_c" };

/** The unit of such a number, and how a stored one becomes one shown. @param {Around} around @param {string} of */
function measure({ plan, pond }, of) {
  const known = shownQuantity(plan, pond.id, QUANTITY_OF[of] ?? of);
  if (known) return { unit: known.unit, per: known.per, offset: known.offset, low: known.low, high: known.high };
  const units = /** @type {Record<string, string>} */ ({ ...W.weather_units, ...W.worked_units });
  return { unit: units[of] ?? "", per: 1, offset: 0, low: 0, high: 10_000 };
}

/** What can have happened, by its subject. @param {Around} around @returns {Record<string, string>} */
function subjects({ jobs }) {
  const services = Object.entries(jobsWords.services).filter(([name]) => name);
  return Object.fromEntries([
    ...Object.entries(jobs).map(([id, name]) => [`job/${id}`, W.ticked(name)]),
    ...services.map(([name, said]) => [`service/${name}`, W.serviced(said)]),
    ...Object.entries(W.kinds)]);
}

/** @param {Around} around @returns {Rows} */
export function conditionRows(around) {
  const { plan } = around;
  const is = (/** @type {string} */ what) => (/** @type {Record<string, string>} */ own) => own.what === what;
  const one_of = (/** @type {string[]} */ whats) => (/** @type {Record<string, string>} */ own) =>
    whats.includes(own.what);
  const measured = Object.fromEntries(plan.quantities.map((one) => [one.quantity, one.label]));
  /** @returns {Field[]} */
  const values = (/** @type {string} */ what, /** @type {string} */ by, /** @type {string[]} */ names) =>
    names.map((of) => ({ name: `${what} ${of}`, label: W.value, ...measure(around, of), required: true,
      where: (own) => own.what === what && own[by] === of }));
  return {
    name: "only_if", add: jobsWords.condition_add, title: jobsWords.condition_n, drop: jobsWords.condition_drop,
    most: MOST, none: jobsWords.only_if_none, says: (own) => said(around, own), fields: [
      { name: "what", label: W.what, options: W.whats },
      { name: "quantity", label: W.quantity, options: measured, where: is("reading") },
      { name: "point", label: W.point, options: words.water.points, where: is("reading") },
      { name: "weather", label: W.weather, options: W.weathers, where: is("forecast") },
      { name: "worked", label: W.worked, options: W.workeds, where: is("worked_out") },
      { name: "side", label: W.side, options: W.sides, where: one_of(["reading", "forecast", "worked_out"]) },
      ...values("reading", "quantity", Object.keys(measured)),
      ...values("forecast", "weather", Object.keys(W.weathers)),
      ...values("worked_out", "worked", Object.keys(W.workeds)),
      { name: "for_days", label: W.for_days, whole: true, low: 0, high: 60, hint: W.for_days_hint,
        where: is("reading") },
      { name: "within_h", label: W.within_h, whole: true, low: 1, high: 120, hint: W.within_h_hint,
        where: is("forecast") },
      { name: "subject", label: W.subject, options: subjects(around), where: is("happened") },
      { name: "negated", label: W.negated, options: W.negations, where: is("happened") },
      { name: "within_days", label: W.within_days, whole: true, low: 1, high: 400, required: true,
        where: is("happened") },
      { name: "on", label: W.cover, options: W.covers, where: is("cover") }] };
}

/** As the form holds it, by field. @param {Condition} one @returns {Record<string, any>} */
export function conditionValues(one) {
  const { what } = one;
  if (what === "reading") return { ...one, [`reading ${one.quantity}`]: one.value, point: one.point ?? "pond" };
  if (what === "forecast") return { ...one, weather: one.of, [`forecast ${one.of}`]: one.value,
    within_h: one.within_h ?? 24 };
  if (what === "worked_out") return { ...one, worked: one.of, [`worked_out ${one.of}`]: one.value };
  return what === "cover" ? { what, on: one.on ? "yes" : "no" } : { ...one, negated: one.negated ? "yes" : "no" };
}

/** @param {Record<string, any>} row what is seen of it @returns {Condition} */
export function conditionFrom(row) {
  const { what, side } = row;
  const value = row[`${what} ${row.quantity ?? row.weather ?? row.worked}`];
  if (what === "reading") {
    const days = row.for_days ?? 0;
    return { what, quantity: row.quantity, side, value, ...(row.point === "pond" ? {} : { point: row.point }),
      ...(days > 0 ? { for_days: days } : {}) };
  }
  if (what === "forecast") return { what, of: row.weather, side, value, within_h: row.within_h ?? 24 };
  if (what === "worked_out") return { what, of: row.worked, side, value };
  if (what === "cover") return { what, on: row.on === "yes" };
  return { what: "happened", subject: row.subject, within_days: row.within_days,
    ...(row.negated === "yes" ? { negated: true } : {}) };
}

/** What can be seen wrong in the rows, by field. @param {{plan: Plan}} around @param {Record<string, any>[]} rows
 * @returns {Record<string, string>} */
export function conditionProblems({ plan }, rows) {
  for (const [n, row] of rows.entries()) {
    const known = row.what === "reading" && plan.quantities.find((one) => one.quantity === row.quantity);
    if (known && !isAt(known, row.point)) {
      return { [`only_if.${n}.point`]: W.not_there(known.label, words.water.points[row.point]) };
    }
  }
  return {};
}

/** A row as typed so far, read back; nothing while its number is missing.
 * @param {Around} around @param {Record<string, string>} own */
function said(around, own) {
  const of = own[{ reading: "quantity", forecast: "weather", worked_out: "worked" }[own.what] ?? ""];
  const text = of ? own[`${own.what} ${of}`] ?? "" : "";
  const days = Number(own.what === "reading" ? own.for_days || 0 : own.within_days);
  if (own.what === "cover") return conditionSays(around, { what: "cover", on: own.on === "yes" });
  if (own.what === "happened") {
    return days >= 1 ? conditionSays(around, conditionFrom({ ...own, within_days: days })) : "";
  }
  const { unit } = measure(around, of);
  return text ? sentence(around, { ...own, of, for_days: days }, `${text}${unit ? ` ${unit}` : ""}`) : "";
}

/** @param {Around} around @param {Record<string, any>} one @param {string} value with its unit */
function sentence({ plan, pond }, one, value) {
  const names = /** @type {Record<string, string>} */ ({ ...W.weathers, ...W.workeds });
  const sides = /** @type {Record<string, string>} */ (W.sides);
  if (one.what === "forecast") return W.says.forecast(names[one.of], sides[one.side], value, one.within_h || 24);
  if (one.what === "worked_out") return W.says.worked_out(names[one.of], sides[one.side], value);
  const points = /** @type {Record<string, string>} */ (words.water.points);
  const where = (one.point ?? "pond") === "pond" ? "" : ` ${points[one.point]}`;
  const label = inSentence(shownQuantity(plan, pond.id, one.quantity)?.label ?? one.quantity);
  return W.says.reading(label, where, sides[one.side], value, one.for_days ?? 0);
}

/** "Water temperature" -> "water temperature"; KH and pH stay. @param {string} label */
function inSentence(label) {
  return /^[A-Z][a-z]/.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}

/** "total chlorine after the carbon above 20 µg/L" @param {Around} around @param {Condition} one */
export function conditionSays(around, one) {
  if (one.what === "cover") return W.says.cover(one.on);
  if (one.what === "happened") {
    const what = subjects(around)[one.subject] ?? one.subject;
    return one.negated ? W.says.not_done(what, one.within_days) : W.says.done(what, one.within_days);
  }
  const of = one.what === "reading" ? one.quantity : one.of;
  const known = shownQuantity(around.plan, around.pond.id, QUANTITY_OF[of] ?? of);
  const { unit } = measure(around, of);
  return sentence(around, one, known ? shownValue(known, one.value) : `${number(one.value)}${unit ? ` ${unit}` : ""}`);
}

/** All of them in one line. @param {Around} around @param {Condition[]} all */
export function conditionsSay(around, all) {
  return all.length === 0 ? jobsWords.always : all.map((one) => conditionSays(around, one)).join(whenWords.says.and);
}
