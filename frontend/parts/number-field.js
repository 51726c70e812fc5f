// A number with − and + of one step, a keypad that fits, and a clear word when it cannot be.
import { html, classes, useId } from "../ui.js";
import { number, parsed } from "../formats.js";
import { words } from "../words.js";

/** Why a typed text is not a value between the limits, or "" when it is one.
 * @param {string} text @param {{low: number, high: number, unit: string}} range */
export function rangeError(text, { low, high, unit }) {
  const value = parsed(text);
  if (Number.isNaN(value)) return words.card.number_wanted;
  return value < low || value > high ? words.card.range(number(low), number(high), unit) : "";
}

/** The typed value one step on, kept between the limits and free of rounding dust.
 * @param {string} text @param {number} by @param {{low: number, high: number, decimals: number}} range @param {number} start */
function stepped(text, by, { low, high, decimals }, start) {
  const now = parsed(text);
  const value = Number.isNaN(now) ? start : now + by;
  return Math.min(high, Math.max(low, value)).toFixed(decimals);
}

/**
 * @param {{label: string, unit: string, text: string, onText: (text: string) => void, onEnter?: () => void,
 *   step: number, low: number, high: number, decimals: number, start?: number, error?: string, hint?: any,
 *   wide?: boolean, disabled?: boolean}} props   `start`: where − and + begin when the field is empty
 */
export function NumberField(props) {
  const { label, unit, text, onText, onEnter, step, start = props.low, error, hint, disabled } = props;
  const id = useId();
  const by = `${number(step)}${unit ? ` ${unit}` : ""}`;
  return html`<div class=${classes("number-field", error && "wrong-value")}>
    <label for=${id}>${label}${unit && html` <span class="unit">${unit}</span>`}</label>
    <div class="steps">
      <button type="button" class="step" disabled=${disabled} aria-label=${words.card.less(label, by)}
        onClick=${() => onText(stepped(text, -step, props, start))}>−</button>
      <input id=${id} type="text" inputmode="decimal" autocomplete="off" enterkeyhint="done" maxlength="9" value=${text}
        disabled=${disabled} aria-invalid=${error ? "true" : "false"} aria-describedby=${`${id}-more`}
        onInput=${(/** @type {any} */ event) => onText(event.target.value)}
        onKeyDown=${(/** @type {KeyboardEvent} */ event) => {
          if (event.key === "Enter" && onEnter) {
            event.preventDefault();
            onEnter();
          }
        }} />
      <button type="button" class="step" disabled=${disabled} aria-label=${words.card.more(label, by)}
        onClick=${() => onText(stepped(text, step, props, start))}>+</button>
    </div>
    <p id=${`${id}-more`} class="field-more" role=${error ? "alert" : undefined}>${error || hint}</p>
  </div>`;
}
