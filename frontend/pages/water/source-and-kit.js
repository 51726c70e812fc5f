// Source water and kit, ranges, units: settings of the Water page. Each changed one becomes one `set` entry.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { parsed } from "../../formats.js";
import { FieldForm } from "../../parts/field-form.js";
import { fieldText } from "../../parts/form-values.js";
import { Icon } from "../../parts/icons.js";
import { MASSES, shownNumber, shownQuantity, toShown, volumeUnit, VOLUMES } from "../../units.js";
import { startWords } from "../../words/start-words.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";
import { LENGTHS } from "../start/lengths.js";
import { saveSettings, settingOf, whose } from "../save-settings.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {{plan: Plan, pond: Pond, of: string|null, now_ms: number}} Props */

const W = waterWords;
const YES_NO = { no: W.no, yes: W.yes };
const MINUTES_A_DAY = 1440;

const BLENDS = ["kh_dkh", "gh_dgh", "ec25_us_per_cm"];

/** @param {Plan} plan @param {Pond} pond @returns {Section[]} */
function kitSections(plan, pond) {
  const { unit, per } = volumeUnit(pond);
  const measured = (/** @type {string} */ name, /** @type {string} */ of, most = NaN) => {
    const known = /** @type {import("../../units.js").Shown} */ (shownQuantity(plan, pond.id, of));
    const { label, low, offset } = known;
    return { name, label, unit: known.unit, low, high: Math.min(known.high, most ? toShown(known, most) : Infinity),
      per: known.per, offset };
  };
  const share = (/** @type {string} */ name, /** @type {string} */ label, /** @type {number} */ low,
    /** @type {number} */ high, hint = "") => ({ name, label, unit: "%", low, high, per: 100, hint });
  const only = (/** @type {string} */ field, /** @type {string} */ value, /** @type {Field[]} */ fields) =>
    fields.map((one) => ({ ...one, where: (/** @type {Record<string, string>} */ texts) => texts[field] === value }));
  return [
    { title: W.trickle, fields: [
      { name: "inflow_l_per_day", label: startWords.inflow, unit, per, high: 100_000 * per },
      { ...measured("source_kh_dkh", "kh_dkh"), label: startWords.source_kh, hint: startWords.source_kh_hint },
      { name: "bucket", label: W.bucket, unit, high: 1000 },
      { name: "bucket_min", label: W.bucket_min, high: 1440 },
      { name: "bucket_s", label: W.bucket_s, high: 60 }] },
    { title: W.mains, fields: [
      { name: "mains.disinfectant", label: W.disinfectant, options: W.disinfectants },
      measured("mains.kh_dkh", "kh_dkh"), measured("mains.gh_dgh", "gh_dgh"),
      measured("mains.ec25_us_per_cm", "ec25_us_per_cm", 5000),
      measured("mains.nitrate_n_mg_per_l", "nitrate_n_mg_per_l", 50),
      measured("mains.total_chlorine_ug_per_l", "total_chlorine_ug_per_l", 5000)] },
    { title: W.carbon, fields: [{ name: "has_carbon", label: W.has_carbon, options: YES_NO },
      ...only("has_carbon", "yes", [
        { name: "carbon.bed_l", label: W.bed, unit: "L", low: 0.1, high: 2000 },
        { ...measured("carbon.limit_ug_per_l", "total_chlorine_ug_per_l", 500), label: W.carbon_limit,
          hint: W.usual("20 µg/L") },
        { name: "carbon.service_days", label: W.service_days, unit: W.days, low: 1, high: 400, hint: W.usual(14) }])] },
    { title: W.membrane, fields: [{ name: "has_membrane", label: W.has_membrane, options: YES_NO },
      ...only("has_membrane", "yes", [
        share("membrane.rejection_fraction", W.rejection, 50, 99.9, W.usual(95)),
        share("membrane.recovery_fraction", W.recovery, 5, 90, W.usual(33)),
        { ...measured("membrane.flush_limit_us_per_cm", "ec25_us_per_cm", 1000), label: W.flush_limit,
          hint: W.usual("30 µS/cm") },
        share("bypass_fraction", W.bypass, 0, 100)])] },
    { title: W.blend, fields: [
      { name: "blend_for", label: W.blend_for, options: { "": W.blend_none,
        ...Object.fromEntries(BLENDS.map((of) => [of, measured("", of).label])) } },
      ...BLENDS.flatMap((of) => only("blend_for", of, [
        { ...measured(`target ${of}`, of, 5000), label: W.blend_target, required: true }]))] },
    { title: W.since, fields: [{ name: "since", label: W.since_when,
      options: { today: W.since_today, always: W.since_always } }] },
  ];
}

/** @param {Props} props */
export function KitPage({ plan, pond, now_ms }) {
  const sections = kitSections(plan, pond);
  const fields = sections.flatMap((one) => one.fields);
  /** @type {Record<string, any>} */
  const known = {
    has_carbon: pond.carbon ? "yes" : "no", has_membrane: pond.membrane ? "yes" : "no",
    since: pond.mains || pond.carbon || pond.inflow_l_per_day || pond.source_kh_dkh != null ? "today" : "always",
    blend_for: pond.blend_for ?? "", "mains.disinfectant": pond.mains?.disinfectant ?? "free_chlorine",
    [`target ${pond.blend_for}`]: pond.blend_target,
  };
  const before = Object.fromEntries(fields.map((one) =>
    [one.name, fieldText(one, known[one.name] ?? settingOf(pond, one.name))]));
  const { unit } = volumeUnit(pond);
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) =>
    saveSettings(pond, kitSettings(pond, values, changed), "/water",
      values.since === "always" ? null : civilDate(pond.zone, now_ms));
  return html`<${FieldForm} title=${W.kit_page} hint=${whose(plan, pond)} sections=${sections} before=${before}
    onSave=${save}
    derive=${(texts, name) => (name.startsWith("bucket") ? { inflow_l_per_day: timed(texts) } : {})}
    said=${(texts) => (timed(texts) ? W.bucket_result(`${timed(texts)} ${unit}`) : "")} />`;
}

/** A timed bucket as what runs in a day, in the same unit; "" while it cannot be told.
 * @param {Record<string, string>} texts */
function timed({ bucket = "", bucket_min = "", bucket_s = "" }) {
  const minutes = (parsed(bucket_min || "0") + parsed(bucket_s || "0") / 60);
  const a_day = (parsed(bucket) / minutes) * MINUTES_A_DAY;
  return a_day > 0 && Number.isFinite(a_day) ? String(Math.round(a_day)) : undefined;
}

/** @param {Pond} pond @param {Record<string, any>} values @param {string[]} changed @returns {[string, any][]} */
function kitSettings(pond, values, changed) {
  /** @type {[string, any][]} */
  const settings = [];
  for (const field of ["inflow_l_per_day", "bypass_fraction"]) {
    if (changed.includes(field)) settings.push([field, values[field] ?? 0]);
  }
  for (const whole of ["mains", "carbon", "membrane"]) {
    const parts = Object.keys(values).filter((name) => name.startsWith(`${whole}.`));
    const gone = values[`has_${whole}`] === "no";
    if (!changed.some((name) => name === `has_${whole}` || parts.includes(name))) continue;
    const told = parts.filter((name) => values[name] !== null).map((name) => [name.split(".")[1], values[name]]);
    settings.push([whole, gone ? null : Object.fromEntries(told)]);
  }
  if (changed.includes("source_kh_dkh")) settings.push(["source_kh_dkh", values.source_kh_dkh]);
  if (changed.includes("blend_for")) settings.push(["blend_for", values.blend_for || null]);
  const target = `target ${values.blend_for}`;
  if (changed.includes(target)) settings.push(["blend_target", values[target]]);
  return settings;
}

const ENDS = /** @type {const} */ (["act_below", "drift_below", "drift_above", "act_above"]);

/** @param {Props} props */
export function RangesPage({ plan, pond, of }) {
  const cuts = (plan.water.find((one) => one.pond === pond.id)?.cuts ?? []).filter((one) => one.point === "pond");
  const known = shownQuantity(plan, pond.id, of ?? "");
  const now = cuts.find((one) => one.quantity === of);
  if (!known || !of) return html`<${RangeList} plan=${plan} pond=${pond} cuts=${cuts} />`;
  const fields = ENDS.map((name) => ({ name, label: W.range_words[name], unit: known.unit, low: known.low,
    high: known.high, per: known.per, offset: known.offset,
    hint: now && now[name] !== null ? W.range_ours(shownNumber(known, now[name])) : "" }));
  const own = pond.ranges[of] ?? {};
  const before = Object.fromEntries(fields.map((one) => [one.name, fieldText(one, own[one.name])]));
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) =>
    saveSettings(pond, changed.map((name) => [name, values[name], `range/${of}`]), "/water");
  return html`<${FieldForm} title=${`${W.ranges}: ${known.label}`} hint=${W.ranges_hint} sections=${[{ fields }]}
    before=${before} onSave=${save} check=${rising} back="/water?ranges" />`;
}

/** @param {Record<string, any>} values @returns {Record<string, string>} */
function rising(values) {
  const told = ENDS.filter((name) => values[name] !== null);
  const wrong = told.find((name, n) => n > 0 && values[name] < values[told[n - 1]]);
  return wrong ? { [wrong]: W.range_order } : {};
}

/** @param {{plan: Plan, pond: Pond, cuts: import("../../domain/types.js").Cuts[]}} props */
function RangeList({ plan, pond, cuts }) {
  return html`<main class="page"><header class="page-head"><h1>${W.ranges}</h1></header><ul class="choices">
    ${cuts.map((one) => {
      const known = shownQuantity(plan, pond.id, one.quantity);
      const ends = ENDS.filter((name) => one[name] !== null)
        .map((name) => `${W.range_words[name]} ${known ? shownNumber(known, one[name] ?? 0) : ""}`);
      return known && html`<li key=${one.quantity}><a class="choice" href=${`/water?ranges=${one.quantity}`}>
        <span>${known.label} <span class="unit">${known.unit}</span><small>${ends.join(", ")}</small></span>
        <${Icon} name="on" /></a></li>`;
    })}</ul>
    ${cuts.length === 0 && html`<p class="empty">${W.ranges_none}</p>`}
    <p class="centre"><a class="plain-button" href="/water">${W.back}</a></p></main>`;
}

/** @param {Props} props */
export function UnitsPage({ plan, pond }) {
  const choices = plan.quantities.filter((one) => one.unit && one.others.length > 0);
  const options = (/** @type {string[]} */ units) => Object.fromEntries(units.map((unit) => [unit, unit]));
  const fields = [
    ...choices.map((one) => ({ name: one.quantity, label: one.label,
      options: options([...new Set([one.shown_in ?? one.unit, one.unit, ...one.others.map(({ unit }) => unit)])]) })),
    { name: "volume", label: W.volume, options: options(Object.keys(VOLUMES)) },
    { name: "length", label: W.length, options: options(Object.keys(LENGTHS)) },
    { name: "mass", label: W.mass, options: options(MASSES) }];
  const before = Object.fromEntries(fields.map((one) =>
    [one.name, pond.units[one.name] ?? Object.keys(one.options)[0]]));
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const chosen = fields.filter((one) => values[one.name] !== Object.keys(one.options)[0]);
    const units = Object.fromEntries(chosen.map((one) => [one.name, values[one.name]]));
    return saveSettings(pond, changed.length > 0 ? [["units", units]] : [], "/water");
  };
  return html`<${FieldForm} title=${W.units} hint=${whose(plan, pond)} sections=${[{ fields }]} before=${before}
    onSave=${save} />`;
}
