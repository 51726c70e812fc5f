// How much water: as known, by the basin's measures, by a meter, by a timed hose, or later by salt.
import { html } from "../../ui.js";
import { BASIN_SD_FRACTION, basinVolumeL, surfaceM2, VOLUME_L } from "../../domain/basin.js";
import { number } from "../../formats.js";
import { seenFields, valuesOf } from "../../parts/form-values.js";
import { volumeUnit } from "../../units.js";
import { startWords } from "../../words/start-words.js";
import { BasinPicture } from "./basin-picture.js";
import { lengthUnit } from "./lengths.js";

/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {{units?: Record<string, string>}} InUnits   a pond, or what stands for one before there is one */

const W = startWords;
/** A tape is read to hundreds of a metre, a meter to litres: more digits than these say nothing. */
const DIGITS = 3;
const LITRES_PER_M3 = 1000;
const S_PER_H = 3600;

/** The ways and what they look like, then their fields and what they come to; `by_salt`: what salt has told already.
 * @param {InUnits} pond @param {string} [by_salt] @returns {Section[]} */
export function volumeSections(pond, by_salt = "") {
  const fields = volumeFields(pond);
  const way = (/** @type {any} */ { texts }) => html`<${Way} texts=${texts} by_salt=${by_salt} />`;
  return [{ title: W.water, hint: W.water_why, under: way, across: true, fields: [
    { name: "way", label: W.way, kind: "one", options: W.ways },
    ...by("shape", [{ name: "shape", label: W.shape, kind: "one", options: W.shapes }])] },
  { fields, across: true, where: (texts) => texts.way !== "salt",
    under: ({ texts }) => html`<${ComesTo} texts=${texts} fields=${fields} pond=${pond} />` }];
}

/** @param {InUnits} pond @returns {Field[]} */
function volumeFields(pond) {
  const litres = volumeUnit(/** @type {any} */ (pond));
  const metered = litres.unit === "L" ? { unit: "m³", per: 1 / LITRES_PER_M3 } : litres;
  const metres = lengthUnit(pond);
  const side = (/** @type {string} */ name, /** @type {string} */ label, high = 100) =>
    ({ name, label, ...metres, low: 0.1 * metres.per, high: Math.floor(high * metres.per), required: true });
  const round = (/** @type {Record<string, string>} */ texts) => texts.shape === "round";
  return [
    ...by("known", [
      { name: "volume_l", label: W.volume, ...litres, low: litres.per, high: Math.floor(VOLUME_L[1] * litres.per) }]),
    ...by("shape", [
      { ...side("length_m", W.length), where: (texts) => !round(texts) },
      { ...side("diameter_m", W.diameter), where: round },
      { ...side("width_m", W.width), where: (texts) => !round(texts) },
      { ...side("depth_m", W.depth, 10), hint: W.depth_hint },
      { name: "other_water_l", label: W.other_water, ...litres, high: 100_000 * litres.per,
        hint: W.other_water_hint }]),
    ...by("meter", [
      { name: "meter_before_l", label: W.meter_before, ...metered, required: true },
      { name: "meter_after_l", label: W.meter_after, ...metered, required: true }]),
    ...by("hose", [
      { name: "bucket_l", label: W.hose_bucket, ...litres, low: litres.per, high: 1000 * litres.per, required: true },
      { name: "bucket_s", label: W.hose_s, unit: "s", low: 1, high: 3600, required: true },
      { name: "full_h", label: W.hose_h, unit: "h", low: 0.1, high: 1000, required: true }]),
  ];
}

/** Those fields only while it is told that way. @param {string} way @param {Field[]} fields @returns {Field[]} */
function by(way, fields) {
  return fields.map((one) => ({ ...one, where: (/** @type {Record<string, string>} */ texts) =>
    texts.way === way && (one.where?.(texts) ?? true) }));
}

/** What the form's values come to [L], in as many digits of the keeper's unit as they tell; null where they come to
 * nothing. @param {Record<string, any>} values @param {InUnits} pond @returns {number|null} */
export function volumeFrom(values, pond) {
  if (values.way === "known") return values.volume_l ?? null;
  const found = WAYS[values.way]?.(values);
  const { per } = volumeUnit(/** @type {any} */ (pond));
  return Number.isFinite(found) && found > 0 ? Number((found * per).toPrecision(DIGITS)) / per : null;
}

/** @type {Record<string, (values: Record<string, any>) => number>} */
const WAYS = {
  shape({ shape, length_m, diameter_m, width_m, depth_m, other_water_l }) {
    const [length, width] = shape === "round" ? [diameter_m, diameter_m] : [length_m, width_m];
    return length && width && depth_m ? basinVolumeL(shape, length, width, depth_m, other_water_l ?? 0) : NaN;
  },
  meter: ({ meter_before_l, meter_after_l }) => meter_after_l - meter_before_l,
  hose: ({ bucket_l, bucket_s, full_h }) => (bucket_l / bucket_s) * full_h * S_PER_H,
};

/** What the same measures tell of the pond's surface, to be kept beside its walls. @param {Record<string, any>} values
 * @returns {Record<string, any>|null} */
export function shellFrom({ way, shape, length_m, diameter_m, width_m, depth_m }) {
  if (way !== "shape") return null;
  if (shape === "round") return { shape, length_m: diameter_m, depth_m };
  if (shape === "rectangle") return { shape, length_m, width_m, depth_m };
  return { shape: "other", surface_m2: Number(surfaceM2(shape, length_m, width_m).toPrecision(DIGITS)), depth_m };
}

/** What is wrong with a volume that each field alone cannot know, by field. @param {Record<string, any>} values
 * @param {InUnits} pond @returns {Record<string, string>} */
export function volumeProblem(values, pond) {
  const { way } = values;
  const volume = volumeFrom(values, pond);
  if (way === "meter" && !(values.meter_after_l > values.meter_before_l)) return { meter_after_l: W.meter_order };
  if (volume === null || (volume >= VOLUME_L[0] && volume <= VOLUME_L[1])) return {};
  if (way === "known") {
    const { per } = volumeUnit(/** @type {any} */ (pond));
    return { volume_l: W.volume_cubic(said(volume, pond), number(volume * per * LITRES_PER_M3, 0)) };
  }
  const field = { shape: values.shape === "round" ? "diameter_m" : "length_m", meter: "meter_after_l", hose: "full_h" };
  const wrong = /** @type {Record<string, string>} */ (field)[way];
  return { [wrong]: W.volume_range(said(volume, pond), said(VOLUME_L[0], pond), said(VOLUME_L[1], pond)) };
}

/** @param {number} volume_l @param {InUnits} pond @param {number} [digits] */
function said(volume_l, pond, digits = DIGITS) {
  const { unit, per } = volumeUnit(/** @type {any} */ (pond));
  return `${number(Number((volume_l * per).toPrecision(digits)))} ${unit}`;
}

/** The picture of the measures, or how salt would tell it.
 * @param {{texts: Record<string, string>, by_salt: string}} props */
function Way({ texts: { way, shape }, by_salt }) {
  if (way === "shape") return html`<${BasinPicture} shape=${shape} />`;
  return way === "salt" && html`${by_salt && html`<p class="section-hint"><b>${W.salt_found(by_salt)}</b></p>`}
    <p class="section-hint">${W.salt_hint}</p>
    <p class="caution section-hint">${W.salt_caution}</p>`;
}

/** What was typed comes to, as it is typed.
 * @param {{texts: Record<string, string>, fields: Field[], pond: InUnits}} props */
function ComesTo({ texts, fields, pond }) {
  if (texts.way === "known") return null;
  const shown = seenFields([{ fields: fields.filter((one) => one.where?.(texts) ?? true) }], texts);
  const volume = volumeFrom({ ...texts, ...valuesOf([{ fields: shown }], texts) }, pond);
  const off = volume && texts.way === "shape" ? said(volume * BASIN_SD_FRACTION, pond, 1) : "";
  return html`<p class="section-hint comes-to" role="status">${volume ? W.comes_to(said(volume, pond), off) : ""}</p>`;
}
