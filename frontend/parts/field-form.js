// A page that is one form: fields by section, each checked by its own limits, what changed handed on as values.
import { html, useId, useState } from "../ui.js";
import { parsed } from "../formats.js";
import { useHalfTyped } from "../router.js";
import { words } from "../words.js";
import { rangeError, showFirstError, TextField } from "./fields.js";

/**
 * @typedef {object} Field      a number in `unit` unless it has options; stored = (typed - offset) / per
 * @property {string} name
 * @property {string} label
 * @property {string} [unit]
 * @property {number} [low]      in `unit`
 * @property {number} [high]
 * @property {number} [per]
 * @property {number} [offset]
 * @property {string} [hint]
 * @property {Record<string, string>} [options]   value -> words
 * @property {boolean} [required]
 * @property {(texts: Record<string, string>) => boolean} [where]   shown only where this holds
 *
 * @typedef {{title?: string, fields: Field[]}} Section
 */

/** A stored value as the text of its field. @param {Field} field @param {any} value @returns {string} */
export function fieldText({ options, per = 1, offset = 0 }, value) {
  if (value === null || value === undefined) return "";
  return options || typeof value === "string" ? String(value) : String(Number((value * per + offset).toPrecision(6)));
}

/** @param {Field} field @param {string} text @returns {any} */
function valueOf({ options, per = 1, offset = 0 }, text) {
  if (text === "") return null;
  return options ? text : Number(((parsed(text) - offset) / per).toPrecision(12));
}

/** @param {Field} field @param {string} text */
function problemIn({ options, required, low = 0, high = Infinity, unit = "" }, text) {
  if (!text) return required ? words.pond.required : "";
  return options ? "" : rangeError(text, { low, high, unit });
}

/**
 * @param {{title: string, hint?: string, sections: Section[], before: Record<string, string>, back?: string,
 *   save?: string, children?: any, derive?: (texts: Record<string, string>, name: string) => Record<string, string>,
 *   check?: (values: Record<string, any>) => Record<string, string>, said?: (texts: Record<string, string>) => string,
 *   onSave: (values: Record<string, any>, changed: string[]) => void}} props
 *   `derive`: texts that follow from the one just typed; `said`: what to say of them all; `check`: what no field alone
 *   can know, by field
 */
export function FieldForm({ title, hint, sections, before, back = "/water", save = words.pond.save, ...more }) {
  const [texts, type] = useState(before);
  const [errors, fail] = useState(/** @type {Record<string, string>} */ ({}));
  const textOf = (/** @type {Field} */ { name }) => (texts[name] ?? "").trim();
  const shown = sections.map((one) => ({ ...one, fields: one.fields.filter(({ where }) => where?.(texts) ?? true) }));
  const fields = shown.flatMap((one) => one.fields);
  const changed = fields.filter((one) => textOf(one) !== (before[one.name] ?? "")).map(({ name }) => name);
  useHalfTyped(changed.length > 0);
  const set = (/** @type {string} */ name) => (/** @type {string} */ text) =>
    type({ ...texts, [name]: text, ...more.derive?.({ ...texts, [name]: text }, name) });
  const submit = (event) => {
    event.preventDefault();
    const found = Object.fromEntries(fields.map((one) => [one.name, problemIn(one, textOf(one))]));
    const values = Object.fromEntries(fields.map((one) => [one.name, valueOf(one, textOf(one))]));
    const own = Object.values(found).some(Boolean) ? found : more.check?.(values) ?? {};
    fail(own);
    showFirstError(event.currentTarget);
    if (!Object.values(own).some(Boolean)) more.onSave(values, changed);
  };
  return html`<main class="page">
    <header class="page-head"><div><h1>${title}</h1>${hint && html`<p class="quiet">${hint}</p>`}</div></header>
    <form class="form" onSubmit=${submit} novalidate>
      ${shown.map((section, n) => html`<fieldset class="field-set" key=${n}>${section.title && html`<legend>
          <h2>${section.title}</h2></legend>`}
        ${section.fields.map((one) => (one.options
          ? html`<${Pick} key=${one.name} field=${one} text=${textOf(one)} onText=${set(one.name)} />`
          : html`<${TextField} key=${one.name} label=${one.label} unit=${one.unit} hint=${one.hint}
              inputmode=${(one.low ?? 0) < 0 ? "text" : "decimal"} text=${texts[one.name] ?? ""}
              onText=${set(one.name)} error=${errors[one.name]} />`))}</fieldset>`)}
      <p class="field-more" role="status">${more.said?.(texts)}</p>${more.children}
      <div class="pair"><button type="submit" class="wide-button">${save}</button>
        <a class="plain-button" href=${back}>${words.card.cancel}</a></div>
    </form>
  </main>`;
}

/** @param {{field: Field, text: string, onText: (text: string) => void}} props */
function Pick({ field, text, onText }) {
  const id = useId();
  return html`<p class="pond-pick"><label for=${id}>${field.label}</label>
    <select id=${id} value=${text} onChange=${(event) => onText(event.target.value)}>
      ${Object.entries(field.options ?? {}).map(([value, said]) =>
        html`<option key=${value} value=${value}>${said}</option>`)}
    </select></p>`;
}
