// What the settings forms of the Warmth page share: fields in the keeper's degrees, what they begin with, and whole
// settings put together from their parts.
import { fieldText, rowTexts } from "../../parts/form-values.js";
import { shownQuantity } from "../../units.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { settingOf } from "../save-settings.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {{plan: Plan, pond: Pond, of: string|null, now_ms: number}} Props */

export const BACK = "/warmth";

/** A share from 0 to 1, in per cent. @param {string} name @param {string} label @param {string} [hint]
 * @param {number} [low] @returns {Field} */
export function share(name, label, hint = "", low = 0) {
  return { name, label, unit: "%", low, high: 100, per: 100, hint };
}

/** A temperature between stored limits, or with `apart` a difference of two, in the keeper's unit.
 * @param {Plan} plan @param {Pond} pond @param {Field} field its limits in °C @param {boolean} [apart]
 * @returns {Field} */
export function degrees(plan, pond, field, apart = false) {
  const known = shownQuantity(plan, pond.id, "temperature_c");
  const [unit, per, offset] = known ? [known.unit, known.per, apart ? 0 : known.offset] : ["°C", 1, 0];
  const turned = (/** @type {number|undefined} */ c) => (c === undefined ? c : Number((c * per + offset).toFixed(2)));
  return { ...field, unit, per, offset, low: turned(field.low), high: turned(field.high) };
}

/** Those fields only where another has this value. @param {string} name @param {string} value
 * @param {Field[]} fields @returns {Field[]} */
export function only(name, value, fields) {
  return fields.map((one) => ({ ...one, where: (/** @type {Record<string, string>} */ texts) =>
    texts[name] === value && (one.where?.(texts) ?? true) }));
}

/** The last question of a form: since when it holds. @returns {Section} */
export function sinceSection() {
  const { since, since_when, since_choices } = warmthFormWords;
  return { title: since, fields: [{ name: "since", label: since_when, options: since_choices }] };
}

/** The texts a form begins with: the pond's settings, and what `known` says of fields that are none.
 * @param {Pond} pond @param {Section[]} sections @param {Record<string, any>} known
 * @returns {Record<string, string>} */
export function beginning(pond, sections, known) {
  const texts = sections.flatMap(({ fields }) => fields).map((one) =>
    [one.name, fieldText(one, known[one.name] ?? settingOf(pond, one.name) ?? firstOf(one))]);
  const lists = sections.flatMap(({ rows }) => (rows ? [rowTexts(rows, settingOf(pond, rows.name) ?? [])] : []));
  return Object.assign(Object.fromEntries(texts), ...lists);
}

/** What a choice shows while nothing is set. @param {Field} field */
function firstOf({ options, kind }) {
  return options && kind !== "many" ? Object.keys(options)[0] : null;
}

/** A setting of several parts from the fields "heater.power_w" and so on; what is left empty is not said.
 * @param {Record<string, any>} values @param {string} whole @returns {Record<string, any>} */
export function wholeFrom(values, whole) {
  const parts = Object.entries(values).filter(([name]) => name.startsWith(`${whole}.`))
    .map(([name, value]) => [name.slice(whole.length + 1), Array.isArray(value) ? value.map(tidy) : value]);
  return tidy(Object.fromEntries(parts));
}

/** Without what is empty. @template T @param {T} value @returns {any} */
export function tidy(value) {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return value;
  return Object.fromEntries(Object.entries(value).filter(([, one]) => one !== null));
}

/** Whether anything of that whole was changed. @param {string[]} changed @param {string} whole */
export function touched(changed, whole) {
  return changed.some((name) => name === `has_${whole}` || name.startsWith(`${whole}.`));
}
