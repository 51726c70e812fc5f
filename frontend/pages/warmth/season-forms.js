// Band and season, filter house: the smaller settings of the Warmth page.
import { html } from "../../ui.js";
import { FieldForm } from "../../parts/field-form.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { saveSettings, whose } from "../save-settings.js";
import { BACK, beginning, degrees, only, share, touched, wholeFrom } from "./warmth-forms.js";

/** @typedef {import("./warmth-forms.js").Props} Props */

const W = warmthFormWords;
/** What home takes where one of these is left empty. */
const DEFAULTS = { change_limit_c_per_day: 1, season_floor_c: 12 };

/** @param {Props} props */
export function BandForm({ plan, pond }) {
  const of = (/** @type {string} */ name, /** @type {string} */ label, /** @type {number} */ low,
    /** @type {number} */ high, hint = "", apart = false) =>
    degrees(plan, pond, { name, label, low, high, hint }, apart);
  const said = (/** @type {number} */ c, apart = false) => {
    const { per = 1, offset = 0, unit } = of("", "", 0, 0, "", apart);
    return W.usual(`${Number((c * per + offset).toFixed(1))} ${unit}`);
  };
  const sections = [
    { title: W.band, hint: W.band_hint, fields: [
      of("warm_low_c", W.low, 2, 32), of("warm_high_c", W.high, 2, 34),
      of("change_limit_c_per_day", W.change, 0.2, 3, said(DEFAULTS.change_limit_c_per_day, true), true)] },
    { title: W.season, fields: [
      of("season_floor_c", W.season_floor, 4, 25, said(DEFAULTS.season_floor_c)),
      { name: "worth_per_day", label: W.worth, unit: pond.tariff?.currency ?? "€", low: 0, high: 10_000,
        hint: W.worth_hint }] }];
  const check = (/** @type {Record<string, any>} */ { warm_low_c, warm_high_c }) =>
    (warm_low_c !== null && warm_high_c !== null && warm_high_c < warm_low_c ? { warm_high_c: W.band_order } : {});
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) =>
    saveSettings(pond, changed.map((name) =>
      [name, values[name] ?? /** @type {Record<string, number>} */ (DEFAULTS)[name] ?? null]), BACK);
  return html`<${FieldForm} title=${W.titles.band} hint=${whose(plan, pond)} sections=${sections} check=${check}
    before=${beginning(pond, sections, {})} back=${BACK} onSave=${save} />`;
}

/** @param {Props} props */
export function HouseForm({ plan, pond }) {
  const whole = "filter_house";
  const part = (/** @type {string} */ name, /** @type {string} */ label, /** @type {string} */ unit,
    /** @type {number} */ low, /** @type {number} */ high, hint = "") =>
    ({ name: `${whole}.${name}`, label, unit, low, high, hint });
  const sections = [{ hint: W.house_hint, fields: [
    { name: `has_${whole}`, label: W.has_house, options: W.yes_no },
    ...only(`has_${whole}`, "yes", [
      part("volume_m3", W.volume, "m³", 0.1, 1000),
      part("ua_w_per_k", W.house_ua, "W/K", 0.1, 1000, W.house_ua_hint),
      part("worst_u_w_per_m2_k", W.worst_u, "W/(m² K)", 0.1, 7, W.worst_hint),
      part("rsi_m2_k_per_w", W.rsi, "m² K/W", 0.04, 1, W.usual("0.25")),
      part("open_water_m2", W.open_water, "m²", 0, 200),
      share(`${whole}.lidded_fraction`, W.lidded),
      part("air_changes_per_h", W.air_changes, "1/h", 0.05, 20, W.usual("0.5")),
      part("heater_w", W.house_heater, "W", 0, 100_000)])] }];
  const before = beginning(pond, sections, { [`has_${whole}`]: pond.filter_house ? "yes" : "no" });
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const told = values[`has_${whole}`] === "yes" ? wholeFrom(values, whole) : null;
    return saveSettings(pond, touched(changed, whole) ? [[whole, told]] : [], BACK);
  };
  return html`<${FieldForm} title=${W.titles.house} hint=${whose(plan, pond)} sections=${sections} before=${before}
    back=${BACK} onSave=${save} />`;
}
