// The way in for a household without a pond: the three answers a dose needs, then its jobs.
import { html, useEffect } from "../../ui.js";
import { fetchLater } from "../../later-pages.js";
import { FieldForm } from "../../parts/field-form.js";
import { LaterPart } from "../../parts/later-part.js";
import { makeEntry, record } from "../../record.js";
import { useStore } from "../../store.js";
import { inUnits, volumeUnit } from "../../units.js";
import { startWords } from "../../words/start-words.js";
import { words } from "../../words.js";
import { newSlug } from "../pond.js";
import { firstUnits, unitFields, unitsFrom } from "./first-units.js";
import { shellFrom, volumeFrom, volumeProblem, volumeSections } from "./volume-ways.js";
import { zoneNamed } from "./zones.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */

const W = startWords;
const FIRST_SUBSTANCE = Object.keys(W.substances)[0];

export function FirstPond() {
  const { plan, seen } = useStore();
  // What comes next is in the second script: fetched while the pond is told.
  useEffect(fetchLater, []);
  const made = [...seen.values()].find(({ entry }) => entry.target === "pond" && entry.field === "name");
  if (!plan) return html`<main class="page"><p class="empty">${words.round.no_plan}</p></main>`;
  if (!made) return html`<${FirstForm} plan=${plan} />`;
  return html`<main class="page">
    <header class="page-head"><div><h1>${W.jobs}</h1><p class="quiet">${W.jobs_hint}</p></div></header>
    <${LaterPart} name="jobs-starter" pond=${made.entry.pond} /></main>`;
}

/** @param {{plan: Plan}} props */
function FirstForm({ plan }) {
  const units = unitFields(plan);
  const own = (/** @type {Record<string, string>} */ texts) => ({ units: unitsFrom(units, texts) });
  const sections = (/** @type {Record<string, string>} */ texts) => [
    { fields: [{ name: "name", label: W.name, kind: "text", most: 200, required: true }] },
    { title: W.units, fold: () => W.units_now(units.map(({ name }) => texts[name])), fields: units },
    ...volumeSections(own(texts)), sourceSection(plan, own(texts)), scoopSection()];
  const before = { name: W.first_name, way: "known", shape: "rectangle", through: "",
    substance: FIRST_SUBSTANCE, ...firstUnits(units, navigator.language) };
  /** @type {Record<string, string>} */
  let chosen = {};
  const save = async (/** @type {Record<string, any>} */ values) => {
    await record(firstSettings(values, chosen), words.pond.saved);
    scrollTo(0, 0);
  };
  return html`<${FieldForm} title=${W.first_title} hint=${W.first_hint} sections=${sections} before=${before} back=""
    save=${W.go_on} onSave=${save} check=${(/** @type {Record<string, any>} */ values) => {
      chosen = unitsFrom(units, values);
      return volumeProblem(values, { units: chosen });
    }} />`;
}

/** @param {Plan} plan @param {{units: Record<string, string>}} own */
function sourceSection(plan, own) {
  const { unit, per } = volumeUnit(/** @type {any} */ (own));
  const quantity = plan.quantities.find((one) => one.quantity === "kh_dkh");
  const kh = quantity && inUnits(quantity, /** @type {any} */ (own));
  const comes = (/** @type {Record<string, string>} */ texts) => texts.through !== "none";
  return { title: W.source, hint: W.source_why, fields: [
    { name: "through", label: W.through, kind: /** @type {const} */ ("one"), options: W.throughs },
    { name: "source_kh_dkh", label: W.source_kh, unit: kh?.unit, per: kh?.per, low: kh?.low, high: kh?.high,
      hint: W.source_kh_hint, where: comes },
    { name: "inflow_l_per_day", label: W.inflow, unit, per, high: 100_000 * per, where: comes }] };
}

function scoopSection() {
  return { title: W.scoop, hint: W.scoop_why, fields: [
    { name: "capful_g", label: W.capful, unit: "g", low: 1, high: 2000, hint: W.capful_hint },
    { name: "substance", label: W.substance, options: W.substances }] };
}

/** @param {Record<string, any>} values @param {Record<string, string>} units */
function firstSettings(values, units) {
  const pond = newSlug(values.name, "pond");
  const zone = zoneNamed(Intl.DateTimeFormat().resolvedOptions().timeZone);
  const { through } = values;
  /** @type {[string, any][]} */
  const told = [["name", values.name], ["zone", zone || null], ["units", Object.keys(units).length ? units : null],
    ["volume_l", volumeFrom(values, { units })], ["shell", shellFrom(values)],
    ["carbon", through === "carbon" || through === "membrane" ? {} : null],
    ["membrane", through === "membrane" ? {} : null], ["left_untold", through === "none" ? ["source"] : null],
    ["source_kh_dkh", values.source_kh_dkh], ["inflow_l_per_day", values.inflow_l_per_day],
    ["capful_g", values.capful_g], ["substance", values.substance === FIRST_SUBSTANCE ? null : values.substance]];
  return told.filter(([, value]) => value !== null && value !== undefined).map(([field, value]) =>
    makeEntry("set", pond, { target: "pond", field, value, effective_from: null }));
}
