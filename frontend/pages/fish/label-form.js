// A product by its own label's words: so much for so many litres, times the litres there are. It knows no product.
import { html } from "../../ui.js";
import { labelDose } from "../../domain/label-dose.js";
import { number, parsed } from "../../formats.js";
import { FieldForm } from "../../parts/field-form.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { volumeUnit, VOLUMES } from "../../units.js";
import { labelWords } from "../../words/fish-words.js";
import { whose } from "../save-settings.js";

/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {import("./fish.js").FishProps} FishProps */
/** @typedef {import("../../domain/label-dose.js").KnownVolume} KnownVolume */
/** @typedef {Record<string, string>} Texts */

const W = labelWords;
/** Litres of what a label may name. @type {Record<string, number>} */
const LITRES = { "m³": 1000, ...Object.fromEntries(Object.entries(VOLUMES).map(([unit, per]) => [unit, 1 / per])) };
/** "1,000" and "1.000" are a thousand here, wherever the keeper comes from: no label names thousandths of a litre. */
const THOUSANDS = /^\s*([1-9]\d{0,2})[.,](\d{3})\s*$/;
/** More than so much in each litre is asked about, in mL as in g. */
const MUCH_PER_L = 1;

/** The pond's water with its ends, as home knows it, for the volume as it is set here.
 * @param {FishProps} props @returns {KnownVolume|null} */
function volumeOf({ pond, page }) {
  if (!pond.volume_l) return null;
  const known = page?.volume ?? { low_l: pond.volume_l, volume_l: pond.volume_l, high_l: pond.volume_l, says: "" };
  const scale = pond.volume_l / known.volume_l;
  return { ...known, low_l: known.low_l * scale, volume_l: pond.volume_l, high_l: known.high_l * scale };
}

/** @param {Texts} texts @param {KnownVolume} volume */
function doseOf({ amount = "", per = "", per_unit }, volume) {
  return labelDose(parsed(amount), parsed(per) * LITRES[per_unit], volume);
}

/** As exactly as anybody measures it out. @param {number} amount */
function measured(amount) {
  return Number(amount.toPrecision(3));
}

/** @param {FishProps} props */
export function LabelForm(props) {
  const { plan, pond } = props;
  const volume = volumeOf(props);
  if (!volume) return html`<main class="page"><header class="page-head"><div><h1>${W.title}</h1></div></header>
    <p class="empty">${W.no_volume}</p>
    <p class="centre"><a class="wide-button" href="/pond">${W.set_volume}</a></p></main>`;
  /** @type {Section[]} */
  const sections = [{ caution: W.caution, fields: [
    { name: "amount", label: W.amount, low: 0.001, high: 10_000, required: true },
    { name: "per", label: W.per, low: 0.001, high: 1_000_000, required: true },
    { name: "unit", label: W.unit, options: W.units },
    { name: "per_unit", label: W.per_unit, options: Object.fromEntries(Object.keys(LITRES).map((one) => [one, one])) }],
  under: ({ texts }) => html`<${Result} texts=${texts} volume=${volume} pond=${pond} />` },
  { title: W.record, fields: [
    { name: "product", label: W.product, kind: "text", most: 100, hint: W.product_hint },
    { name: "given", label: W.given, low: 0.001, high: 10_000_000, required: true, hint: W.given_hint }] }];
  const before = { unit: "mL", per: "1000", per_unit: "L", product: "", amount: "", given: "" };
  const derive = (/** @type {Texts} */ texts, /** @type {string} */ name) => {
    if (name === "given" || name === "product") return {};
    const whole = THOUSANDS.exec(texts.per);
    const now = whole ? { ...texts, per: whole[1] + whole[2] } : texts;
    const dose = doseOf(now, volume);
    return { per: now.per, given: dose ? String(measured(dose.amount)) : "" };
  };
  const check = (/** @type {Record<string, any>} */ { amount, per, per_unit }) =>
    /** @type {Record<string, string>} */ (labelDose(amount, per * LITRES[per_unit], volume) ? {} : { per: W.slip });
  const save = async (/** @type {Record<string, any>} */ { amount, unit, per, per_unit, product, given }) => {
    const label = W.label(`${number(amount)} ${unit}`, `${number(per)} ${per_unit}`);
    const text = W.note(product || W.a_product, `${number(given)} ${unit}`, label);
    await record([makeEntry("note", pond.id, { text })], W.saved);
    go("/fish", true);
  };
  return html`<${FieldForm} title=${W.title} hint=${[whose(plan, pond), W.hint].filter(Boolean).join(": ")}
    sections=${sections} before=${before} derive=${derive} check=${check} back="/fish" save=${W.save}
    onSave=${save} />`;
}

/** @param {{texts: Texts, volume: KnownVolume, pond: import("../../domain/types.js").Pond}} props */
function Result({ texts, volume, pond }) {
  const { amount = "", per = "", per_unit, given = "" } = texts;
  const unit = /** @type {Record<string, string>} */ (W.units)[texts.unit];
  const dose = doseOf(texts, volume);
  if (!dose) return html`<p class="quiet label-result" role="status">${amount && per ? W.slip : W.wanted}</p>`;
  const litres = (/** @type {number} */ l) => number(Number((l * volumeUnit(pond).per).toPrecision(3)));
  const much = parsed(amount) > MUCH_PER_L * parsed(per) * LITRES[per_unit] && texts.unit !== "capfuls";
  return html`<div class="label-result" role="status"><p class="big">${number(measured(dose.amount))} ${unit}</p>
    <p>${W.range(`${number(measured(dose.low))} to ${number(measured(dose.high))} ${unit}`,
      `${litres(volume.volume_l)} ${volumeUnit(pond).unit}`, `${litres(volume.low_l)} to ${litres(volume.high_l)}`)}</p>
    ${volume.says && html`<p class="quiet">${volume.says}</p>`}
    ${dose.low < dose.amount && html`<p>${W.safe(`${number(measured(dose.low))} ${unit}`)}</p>`}
    ${much && html`<p class="doubt">${W.much(unit)}</p>`}
    ${parsed(given) > dose.high * 1.005 && html`<p class="doubt">${W.over}</p>`}</div>`;
}
