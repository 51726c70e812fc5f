// A line or a few lines of text with its label, hint and error.
import { html, classes, useId } from "../ui.js";

/**
 * @param {{label: string, text: string, onText: (text: string) => void, hint?: string, error?: string, type?: string,
 *   lines?: number, required?: boolean, autocomplete?: string, inputmode?: string, maxlength?: number, unit?: string}} props
 */
export function TextField(props) {
  const { label, text, onText, hint, error, lines = 1, type = "text", unit, maxlength = 200, ...rest } = props;
  const id = useId();
  const shared = {
    id, value: text, maxlength, "aria-describedby": `${id}-more`, "aria-invalid": error ? "true" : "false", ...rest,
    onInput: (/** @type {any} */ event) => onText(event.target.value),
  };
  return html`<div class=${classes("text-field", error && "wrong-value")}>
    <label for=${id}>${label}${unit && html` <span class="unit">${unit}</span>`}</label>
    ${lines > 1 ? html`<textarea rows=${lines} ...${shared} />` : html`<input type=${type} ...${shared} />`}
    <p id=${`${id}-more`} class="field-more" role=${error ? "alert" : undefined}>${error || hint}</p>
  </div>`;
}
