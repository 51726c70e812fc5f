// Food that came into store, or was counted there: one setting, from which home takes what is fed.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { number } from "../../formats.js";
import { FieldForm } from "../../parts/field-form.js";
import { fieldText } from "../../parts/form-values.js";
import { useStore } from "../../store.js";
import { massUnit } from "../../units.js";
import { foodWords } from "../../words/fish-words.js";
import { saveSettings, whose } from "../save-settings.js";
import { mass, POUND_G } from "./fish-mass.js";

/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("./fish.js").FishProps} FishProps */
/** @typedef {import("../../domain/types.js").Plan} Plan */

const W = foodWords;
/** A large store, and a price no food has. */
const MOST_G = 2_000_000;
const DEAREST_PER_KG = 10_000;

/** Whether home does not know of the food as it was last told here.
 * @param {Map<string, import("../../domain/types.js").Seen>} seen @param {Plan} plan @param {string} pond */
export function foodIsNews(seen, plan, pond) {
  return [...seen.values()].some(({ seq, entry }) => entry.kind === "set" && entry.pond === pond
    && entry.target === "pond" && entry.field === "food" && (seq ?? Infinity) > plan.log_seq);
}

/** @param {FishProps} props */
export function FoodForm({ plan, pond, page, now_ms }) {
  const { seen } = useStore();
  const news = foodIsNews(seen, plan, pond.id);
  const left_g = pond.food ? (news ? null : page?.food?.left_g) ?? pond.food.stock_g : 0;
  const [unit, per] = massUnit(pond) === "g" ? ["kg", 0.001] : ["lb", 1 / POUND_G];
  const currency = pond.tariff?.currency ?? "€";
  const came = (/** @type {Record<string, string>} */ texts) => texts.what !== "counted";
  /** @type {Field[]} */
  const fields = [
    ...pond.food ? [{ name: "what", label: W.what, options: W.whats }] : [],
    { name: "name", label: W.name, kind: "text", most: 200, hint: W.name_hint },
    { name: "grams", label: W.much, unit, per, low: 0, high: MOST_G * per, required: true },
    { name: "paid", label: W.paid, unit: currency, low: 0, high: 100_000, hint: W.paid_hint, where: came }];
  const before = { what: "came", name: fieldText(fields[0], pond.food?.name) };
  const check = (/** @type {Record<string, any>} */ { what, grams, paid }) => {
    const none = what !== "counted" && !(grams > 0);
    const dear = paid && grams > 0 && paid / grams * 1000 > DEAREST_PER_KG;
    return /** @type {Record<string, string>} */ ({ grams: none ? W.none : "", paid: dear ? W.dear : "" });
  };
  const made = (/** @type {Record<string, any>} */ { what, name, grams, paid }) => {
    const counted = what === "counted";
    const price = !counted && paid !== null && paid !== undefined ? Number((paid / grams * 1000).toPrecision(6))
      : pond.food?.price_per_kg ?? null;
    return { stock_g: Math.round(grams + (counted ? 0 : left_g)), counted_on: civilDate(pond.zone, now_ms),
      name: name || null, price_per_kg: price };
  };
  const said = (/** @type {Record<string, string>} */ texts) => {
    const grams = Number((texts.grams ?? "").replace(",", ".")) / per;
    if (!(grams > 0) || !came(texts)) return "";
    const paid = Number((texts.paid ?? "").replace(",", "."));
    return [left_g > 0 && W.makes(mass(left_g), mass(left_g + grams)),
      paid > 0 && W.price(`${currency} ${number(paid / grams / per, 2)}`, unit)].filter(Boolean).join(" ");
  };
  return html`<${FieldForm} title=${W.title} hint=${[whose(plan, pond), W.hint].filter(Boolean).join(": ")}
    sections=${[{ fields }]} before=${before} check=${check} said=${said} back="/fish"
    onSave=${(/** @type {Record<string, any>} */ values) =>
      saveSettings(pond, [["food", made(values)]], "/fish", civilDate(pond.zone, now_ms))} />`;
}
