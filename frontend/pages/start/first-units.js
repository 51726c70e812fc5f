// The units a keeper begins with: by the language of the browser, to be changed before the first figure is typed.
import { VOLUMES } from "../../units.js";
import { startWords } from "../../words/start-words.js";
import { LENGTHS } from "./lengths.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */

const W = startWords;
/** Where people read gallons, feet and °F. */
const AMERICAN = /** @type {Record<string, string>} */ ({ volume: "US gal", length: "ft", temperature_c: "°F" });

/** @param {Plan} plan @returns {Field[]} each a choice, the stored unit first */
export function unitFields(plan) {
  const of = (/** @type {string} */ quantity) => {
    const known = plan.quantities.find((one) => one.quantity === quantity);
    return known ? [known.unit, ...known.others.map((one) => one.unit)] : [];
  };
  const choices = { volume: Object.keys(VOLUMES), length: Object.keys(LENGTHS), temperature_c: of("temperature_c"),
    kh_dkh: of("kh_dkh") };
  return Object.entries(choices).map(([name, units]) => ({ name: `units.${name}`,
    label: /** @type {Record<string, string>} */ (W.unit_of)[name],
    options: Object.fromEntries(units.map((unit) => [unit, unit])) }));
}

/** @param {Field[]} fields @param {string} language of the browser @returns {Record<string, string>} */
export function firstUnits(fields, language) {
  const american = /-US\b/.test(language);
  return Object.fromEntries(fields.map(({ name, options }) => {
    const units = Object.keys(options ?? {});
    const wanted = american ? AMERICAN[name.slice("units.".length)] : "";
    return [name, wanted && units.includes(wanted) ? wanted : units[0]];
  }));
}

/** The units chosen, as the pond's setting holds them: those that are not the stored ones.
 * @param {Field[]} fields @param {Record<string, string>} texts @returns {Record<string, string>} */
export function unitsFrom(fields, texts) {
  const chosen = fields.filter(({ name, options }) => texts[name] !== Object.keys(options ?? {})[0])
    .map(({ name }) => [name.slice("units.".length), texts[name]]);
  const units = Object.fromEntries(chosen);
  return units.temperature_c ? { ...units, air_temperature_c: units.temperature_c } : units;
}
