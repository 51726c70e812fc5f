// Fields with their label, hint and error: a number with − and + of one step, a line of text, a choice of pond.
import { html, classes, useId } from "../ui.js";
import { number, parsed, twoNumbers } from "../formats.js";
import { update, useStore } from "../store.js";
import { words } from "../words.js";

/** Why a typed text is not a value between the limits, or "" when it is one.
 * @param {string} text @param {{low: number, high: number, unit: string}} range */
export function rangeError(text, { low, high, unit }) {
  const value = parsed(text);
  const two = twoNumbers(text);
  if (two) return words.card.two_numbers(text.trim(), ...two);
  if (Number.isNaN(value)) return words.card.number_wanted;
  return value < low || value > high ? words.card.range(number(low), number(high), unit) : "";
}

/** Once what is wrong has been drawn, go to the first field with an error, unfolded if it must be.
 * @param {HTMLFormElement} form */
export function showFirstError(form) {
  setTimeout(() => {
    const first = /** @type {HTMLElement|null} */ (form.querySelector('[aria-invalid="true"], [data-wrong]'));
    const folded = first?.closest("details");
    if (folded) folded.open = true;
    first?.focus();
  });
}

/** The typed value one step on, kept between the limits and free of rounding dust.
 * @param {string} text @param {number} by @param {{low: number, high: number, decimals: number}} range
 * @param {number} start where an empty field begins */
function stepped(text, by, { low, high, decimals }, start) {
  const now = parsed(text);
  const value = Number.isNaN(now) ? start : now + by;
  return Math.min(high, Math.max(low, value)).toFixed(decimals);
}

/**
 * @param {{label: string, unit: string, text: string, onText: (text: string) => void, onEnter?: () => void,
 *   step: number, low: number, high: number, decimals: number, start?: number, error?: string, hint?: any,
 *   disabled?: boolean, next?: boolean}} props   `start`: where − and + begin when the field is empty; `next`: Enter
 *   goes on to the next field
 */
export function NumberField(props) {
  const { label, unit, text, onText, onEnter, step, start = props.low, error, hint, disabled, next } = props;
  const id = useId();
  const by = `${number(step)}${unit ? ` ${unit}` : ""}`;
  return html`<div class=${classes("number-field", error && "wrong-value")}>
    <label for=${id}>${label}${unit && html` <span class="unit">${unit}</span>`}</label>
    <div class="steps">
      <button type="button" class="step" disabled=${disabled} aria-label=${words.card.less(label, by)}
        onClick=${() => onText(stepped(text, -step, props, start))}>−</button>
      <input id=${id} type="text" inputmode="decimal" autocomplete="off" maxlength="9"
        enterkeyhint=${next ? "next" : "done"} value=${text} disabled=${disabled}
        aria-invalid=${error ? "true" : "false"} aria-describedby=${`${id}-more`}
        onInput=${(event) => onText(event.target.value)}
        onKeyDown=${(event) => {
          if (event.key !== "Enter" || !(onEnter || (next && nextField(event.target)))) return;
          event.preventDefault();
          (onEnter ?? (() => nextField(event.target)?.focus()))();
        }} />
      <button type="button" class="step" disabled=${disabled} aria-label=${words.card.more(label, by)}
        onClick=${() => onText(stepped(text, step, props, start))}>+</button>
    </div>
    <p id=${`${id}-more`} class="field-more" role=${error ? "alert" : undefined}>${error || hint}</p>
  </div>`;
}

/** The number field after this one, none after the last: there Enter sends the form. @param {HTMLInputElement} here
 * @returns {HTMLElement|undefined} */
function nextField(here) {
  const all = /** @type {HTMLElement[]} */ ([...here.form?.querySelectorAll(".steps input") ?? []]);
  const fields = all.filter((one) => one.checkVisibility?.() ?? one.offsetParent !== null);
  return fields[fields.indexOf(here) + 1];
}

/**
 * @param {{label: string, text: string, onText: (text: string) => void, hint?: string, error?: string, type?: string,
 *   lines?: number, autocomplete?: string, inputmode?: string, maxlength?: number, unit?: string,
 *   max?: string}} props
 */
export function TextField(props) {
  const { label, text, onText, hint, error, lines = 1, type = "text", unit, maxlength = 200, ...rest } = props;
  const id = useId();
  const shared = {
    id, value: text, maxlength, "aria-describedby": `${id}-more`, "aria-invalid": error ? "true" : "false", ...rest,
    onInput: (event) => onText(event.target.value),
  };
  return html`<div class=${classes("text-field", error && "wrong-value")}>
    <label for=${id}>${label}${unit && html` <span class="unit">${unit}</span>`}</label>
    ${lines > 1 ? html`<textarea rows=${lines} ...${shared} />` : html`<input type=${type} ...${shared} />`}
    <p id=${`${id}-more`} class="field-more" role=${error ? "alert" : undefined}>${error || hint}</p>
  </div>`;
}

export function PondPick() {
  const { plan, pond } = useStore();
  const id = useId();
  if (!plan || plan.ponds.length < 2) return null;
  return html`<p class="pond-pick"><label for=${id}>${words.water.which_pond}</label>
    <select id=${id} value=${pond ?? plan.ponds[0].id}
      onChange=${(event) => update(() => ({ pond: event.target.value }))}>
      ${plan.ponds.map((one) => html`<option key=${one.id} value=${one.id}>${one.name}</option>`)}
    </select></p>`;
}
