// The small forms behind the quiet line under the wide button: other amount, not done, note, override.
import { html, useState } from "../ui.js";
import { capfuls, number, parsed } from "../formats.js";
import { useHalfTyped } from "../router.js";
import { roundWords } from "../words/round-words.js";
import { words } from "../words.js";
import { NumberField, rangeError, TextField } from "./fields.js";

/** @param {{onSave: () => void, onCancel: () => void, children: any, save?: string}} props */
function SmallForm({ onSave, onCancel, children, save = words.card.save }) {
  return html`<form class="small-form" onSubmit=${(event) => {
    event.preventDefault();
    onSave();
  }}>
    ${children}
    <div class="pair">
      <button type="submit" class="wide-button">${save}</button>
      <button type="button" class="plain-button" onClick=${onCancel}>${words.card.cancel}</button>
    </div>
  </form>`;
}

/** How the amount is asked for: in the keeper's capfuls where one has been weighed, else in grams.
 * @param {number|null} capful_g */
function amountUnit(capful_g) {
  return capful_g
    ? { label: words.card.how_much_capfuls, step: 0.25, decimals: 2, high: 60, grams: capful_g }
    : { label: words.card.how_much_grams, step: 5, decimals: 0, high: 20000, grams: 1 };
}

/** @param {{capful_g: number|null, amount_g: number|null, limit_g: number|null, reason?: boolean,
 *   label?: string|null, onSave: (amount_g: number, reason: string) => void, onCancel: () => void}} props
 *   `reason`: an override must say why; `label`: of grams that are no buffer */
export function AmountForm({ capful_g, amount_g, limit_g, reason = false, label = null, onSave, onCancel }) {
  const known = amountUnit(capful_g);
  const unit = label ? { ...known, label } : known;
  const [text, type] = useState(amount_g ? (amount_g / unit.grams).toFixed(unit.decimals) : "");
  const [why, typeWhy] = useState("");
  const [error, fail] = useState("");
  const grams = parsed(text) * unit.grams;
  useHalfTyped(true);
  const save = () => {
    const some = parsed(text) > 0 ? "" : words.card.above_nothing;
    const wrong = rangeError(text, { low: 0, high: unit.high, unit: "" }) || some;
    if (wrong || (reason && !why.trim())) return fail(wrong || words.pond.required);
    return onSave(Math.round(grams * 100) / 100, why.trim());
  };
  const inGrams = capful_g && grams > 0 ? `${number(grams, 0)} g` : "";
  const over = limit_g !== null && grams > limit_g ? words.card.more_than_limit(limitWords(limit_g, capful_g)) : "";
  return html`<${SmallForm} onSave=${save} onCancel=${onCancel}>
    <${NumberField} label=${unit.label} unit="" text=${text} onText=${type} step=${unit.step} low=${0} high=${unit.high}
      decimals=${unit.decimals} start=${unit.step} onEnter=${save} error=${reason ? "" : error}
      hint=${[inGrams, over].filter(Boolean).join(" · ")} />
    ${reason && html`<${TextField} label=${words.card.override_why} text=${why} onText=${typeWhy} error=${error} />`}
  </${SmallForm}>`;
}

/** @param {number} limit_g @param {number|null} capful_g */
function limitWords(limit_g, capful_g) {
  const weight = `${number(limit_g, 0)} g`;
  return capful_g ? `${capfuls(limit_g, capful_g)} (${weight})` : weight;
}

/** How much of the food was eaten, where somebody looked. @param {{onPick: (eaten: string) => void}} props */
export function EatenLine({ onPick }) {
  return html`<div class="quiet-line" role="group" aria-label=${roundWords.eaten_how}>
    ${Object.entries(words.kinds.appetites).map(([eaten, said]) => html`<button key=${eaten} type="button"
      class="text-button" aria-label=${roundWords.fed_and(said)}
      onClick=${() => onPick(eaten)}>${said}</button>`)}</div>`;
}

/** The server takes 2,000 characters, and a note begins with its job's name, of up to 200. */
const ROOM = 1700;

/** One text with its reasons to pick from. @param {{label: string, picks?: string[], lines?: number,
 *   onSave: (text: string) => void, onCancel: () => void}} props */
export function ReasonForm({ label, picks = [], lines = 1, onSave, onCancel }) {
  const [text, type] = useState("");
  const [error, fail] = useState("");
  useHalfTyped(text !== "");
  const save = () => (text.trim() ? onSave(text.trim()) : fail(words.pond.required));
  return html`<${SmallForm} onSave=${save} onCancel=${onCancel}>
    ${picks.length > 0 && html`<div class="picks">${picks.map((pick) => html`<button key=${pick} type="button"
      class="pick" aria-pressed=${text === pick} onClick=${() => type(pick)}>${pick}</button>`)}</div>`}
    <${TextField} label=${label} text=${text} onText=${type} lines=${lines} maxlength=${ROOM} error=${error} />
  </${SmallForm}>`;
}
