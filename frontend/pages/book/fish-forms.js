// Fish that came, moved or left; and what is in the pond and what it eats.
import { html, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { roughMassG } from "../../domain/rough-fish.js";
import { parsed } from "../../formats.js";
import { fishWords } from "../../words/kit-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { makeEntry, record } from "../../record.js";
import { useStore } from "../../store.js";
import { go } from "../../router.js";
import { words } from "../../words.js";
import { saveSettings, whose } from "../save-settings.js";
import { lengthUnit } from "../start/lengths.js";
import { beginning, degrees, share, touched, wholeFrom } from "../warmth/warmth-forms.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {{plan: Plan, pond: Pond, now_ms: number}} Props */

const W = fishWords;
const BACK = "/changes";
const KG = { unit: "kg", per: 0.001 };
const CM_PER_INCH = 2.54;

/** @param {Props} props */
export function FishForm({ plan, pond, now_ms }) {
  const { skew_s } = useStore();
  const [at, when] = useState("");
  const [wrong, fail] = useState("");
  const others = Object.fromEntries(plan.ponds.filter((one) => one.id !== pond.id).map((one) => [one.id, one.name]));
  const { moved, ...alone } = W.whats;
  const is = (/** @type {string} */ what) => (/** @type {Record<string, string>} */ texts) => texts.what === what;
  /** @type {Section[]} */
  const sections = [{ fields: [
    { name: "what", label: W.what, options: Object.keys(others).length > 0 ? W.whats : alone },
    { name: "count", label: W.count, whole: true, low: 1, high: 10_000, required: true },
    { name: "mass_g", label: W.mass, ...KG, low: 0.001, high: 10_000, hint: W.mass_hint },
    { name: "to_pond", label: W.to, options: others, where: is("moved") },
    { name: "quarantine", label: W.quarantine, options: W.yes_no, where: is("came") }] },
  { title: W.care, caution: W.move_caution, fields: [], where: is("moved") },
  { title: W.care, caution: W.quarantine_caution, fields: [], where: is("came") }];
  const before = { what: "came", quarantine: "yes", to_pond: Object.keys(others)[0] ?? "" };
  const save = async (/** @type {Record<string, any>} */ values) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    const { what, count, mass_g, to_pond, quarantine } = values;
    const where = what === "came" ? { to_pond: pond.id, quarantine: quarantine === "yes" }
      : what === "left" ? { from_pond: pond.id } : { from_pond: pond.id, to_pond };
    await record([makeEntry("fish_move", pond.id, { count, ...where,
      ...(mass_g === null ? {} : { mass_g }) }, momentMs(at, pond.zone, skew_s))], words.pond.saved);
    go(BACK, true);
  };
  return html`<${FieldForm} title=${W.title} hint=${whose(plan, pond)} sections=${sections} before=${before}
    back=${BACK} onSave=${save}><${MomentField} label=${W.happened} text=${at} onText=${when} zone=${pond.zone}
      now_ms=${now_ms} error=${wrong} /></${FieldForm}>`;
}

/** @param {Plan} plan @param {Pond} pond @returns {Section[]} */
function stockSections(plan, pond) {
  const stepped = (/** @type {Record<string, string>} */ texts) => texts.has_feed_steps === "yes";
  const long = longUnit(pond);
  return [
    { title: W.stock, fields: [
      { name: "fish_count", label: W.stock_count, whole: true, low: 0, high: 100_000 },
      { name: "about_cm", label: W.about, ...long, low: 1 * long.per, high: 160 * long.per, hint: W.about_hint },
      { name: "fish_mass_g", label: W.mass, ...KG, low: 0, high: 100_000, hint: W.mass_hint },
      { name: "quarantine_days", label: W.quarantine_days, whole: true, unit: W.days, low: 7, high: 120,
        required: true }] },
    { title: W.food, fields: [
      { name: "feed_g_per_day", label: W.feed, unit: "g", low: 0, high: 100_000 },
      degrees(plan, pond, { name: "feed_floor_c", label: W.floor, low: 4, high: 20, required: true })] },
    { title: W.spring, hint: W.spring_hint, fields: [{ name: "has_feed_steps", label: W.steps, options: W.yes_no },
      .../** @type {Field[]} */ ([
        { name: "feed_steps.starts_on", label: W.starts_on, kind: "date", required: true },
        share("feed_steps.first_fraction", W.first, "", 1), share("feed_steps.step_fraction", W.step, "", 1),
        { name: "feed_steps.days_per_step", label: W.step_days, whole: true, unit: W.days, low: 1, high: 30 }])
        .map((one) => ({ ...one, required: true, where: stepped }))] },
  ];
}

/** @param {Pond} pond */
function longUnit(pond) {
  return lengthUnit(pond).unit === "m" ? { unit: "cm", per: 1 } : { unit: "in", per: 1 / CM_PER_INCH };
}

/** The mass that follows from how many and how long, as it would be typed. @param {Record<string, string>} texts
 * @param {Pond} pond @returns {Record<string, string>} */
function roughly({ fish_count = "", about_cm = "" }, pond) {
  const mass_kg = roughMassG(parsed(fish_count), parsed(about_cm) / longUnit(pond).per) * KG.per;
  return mass_kg > 0 && Number.isFinite(mass_kg) ? { fish_mass_g: String(Number(mass_kg.toPrecision(2))) } : {};
}

const STEPS = { first_fraction: 0.25, step_fraction: 0.25, days_per_step: 5 };

/** @param {Props} props */
export function StockForm({ plan, pond, now_ms }) {
  const sections = stockSections(plan, pond);
  const told = { ...pond, feed_steps: { ...STEPS, ...pond.feed_steps }, quarantine_days: pond.quarantine_days ?? 28,
    feed_floor_c: pond.feed_floor_c ?? 8 };
  const before = beginning(/** @type {any} */ (told), sections, { has_feed_steps: pond.feed_steps ? "yes" : "no" });
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const plain = changed.filter((name) => !name.includes("feed_steps") && name !== "about_cm");
    /** @type {[string, any][]} */
    const settings = plain.map((name) => [name, values[name]]);
    if (touched(changed, "feed_steps")) {
      settings.push(["feed_steps", values.has_feed_steps === "yes" ? wholeFrom(values, "feed_steps") : null]);
    }
    return saveSettings(pond, settings, BACK, civilDate(pond.zone, now_ms));
  };
  return html`<${FieldForm} title=${W.stock_title} hint=${[whose(plan, pond), W.stock_hint].filter(Boolean).join(": ")}
    sections=${sections} before=${before} back=${BACK} onSave=${save}
    derive=${(/** @type {Record<string, string>} */ texts, /** @type {string} */ name) =>
      (name === "about_cm" || name === "fish_count" ? roughly(texts, pond) : {})} />`;
}
