// Heater and power: what warms the water, and everything else of the pond that draws current.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { FieldForm } from "../../parts/field-form.js";
import { shownQuantity } from "../../units.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { saveSettings, whose } from "../save-settings.js";
import { BACK, beginning, degrees, only, share, sinceSection, tidy, touched, wholeFrom } from "./warmth-forms.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Section} Section */

const W = warmthFormWords;
const MOST_POINTS = 8;
const MOST_APPLIANCES = 20;

/** The heat pump's points, [air, COP], as the rows of the form. @param {Pond} pond */
function withPoints(pond) {
  const points = (pond.heater?.cop ?? []).map((/** @type {[number, number]} */ [air_c, cop]) => ({ air_c, cop }));
  return { ...pond, points };
}

/** @param {Plan} plan @param {Pond} pond @returns {Section[]} */
function heaterSections(plan, pond) {
  const air = shownQuantity(plan, pond.id, "air_temperature_c");
  const turned = (/** @type {number} */ c) => (air ? c * air.per + air.offset : c);
  const pump = (/** @type {Record<string, string>} */ texts) => texts["heater.kind"] === "heat_pump";
  return [
    { title: W.heater, caution: W.heater_caution, fields: [
      { name: "has_heater", label: W.has_heater, options: W.yes_no },
      ...only("has_heater", "yes", [
        { name: "heater.kind", label: W.heater_kind, options: W.heater_kinds },
        { name: "heater.power_w", label: W.heater_power, unit: "W", low: 1, high: 100_000, required: true },
        degrees(plan, pond, { name: "heater.step_c", label: W.step, low: 0.1, high: 2, hint: "" }, true),
        degrees(plan, pond, { name: "heater.differential_c", label: W.differential, low: 0, high: 3 }, true),
        { name: "heater.time_switch", label: W.time_switch, options: W.yes_no },
        { name: "heater.min_run_min", label: W.min_run, unit: "min", low: 0, high: 240, where: pump }])] },
    { title: W.cop, where: (texts) => texts.has_heater === "yes" && pump(texts), fields: [], rows: {
      name: "points", add: W.cop_add, title: W.cop_at, drop: W.cop_drop, most: MOST_POINTS, none: W.cop_none, fields: [
        { name: "air_c", label: W.cop_air, unit: air?.unit ?? "°C", per: air?.per, offset: air?.offset,
          low: turned(-30), high: turned(45), required: true },
        { name: "cop", label: W.cop_value, low: 1, high: 15, required: true }] } },
    { title: W.appliances, fields: [], rows: {
      name: "appliances", add: W.appliance_add, title: W.appliance, drop: W.appliance_drop, most: MOST_APPLIANCES,
      none: W.appliances_none, fields: [
        { name: "name", label: W.name, kind: "text", most: 60, required: true },
        { name: "power_w", label: W.power, unit: "W", low: 0, high: 100_000, required: true },
        share("duty_fraction", W.duty, W.usual("100 %")),
        share("heats_fraction", W.heats, W.usual("0 %")),
        { name: "air_l_per_min", label: W.air_flow, unit: "L/min", low: 0, high: 5000 }] } },
    sinceSection(),
  ];
}

/** @param {Record<string, any>} values @returns {Record<string, any>|null} */
function heaterFrom(values) {
  if (values.has_heater !== "yes") return null;
  const told = wholeFrom(values, "heater");
  const cop = (values.points ?? []).map((/** @type {any} */ one) => [one.air_c, one.cop])
    .sort((/** @type {number[]} */ a, /** @type {number[]} */ b) => a[0] - b[0]);
  return { ...told, time_switch: told.time_switch === "yes", cop };
}

/** @param {import("./warmth-forms.js").Props} props */
export function HeaterForm({ plan, pond, now_ms }) {
  const sections = heaterSections(plan, pond);
  const before = beginning(withPoints(pond), sections, {
    has_heater: pond.heater ? "yes" : "no", since: pond.heater ? "today" : "always",
    "heater.time_switch": pond.heater?.time_switch === false ? "no" : "yes" });
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    /** @type {[string, any][]} */
    const settings = [];
    if (touched(changed, "heater") || changed.includes("points")) settings.push(["heater", heaterFrom(values)]);
    if (changed.includes("appliances")) settings.push(["appliances", values.appliances.map(tidy)]);
    return saveSettings(pond, settings, BACK, values.since === "today" ? civilDate(pond.zone, now_ms) : null);
  };
  return html`<${FieldForm} title=${W.titles.heater} hint=${whose(plan, pond)} sections=${sections} before=${before}
    back=${BACK} onSave=${save} />`;
}
