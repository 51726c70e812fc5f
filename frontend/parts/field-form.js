// A page that is one form: fields by section, each checked by its own limits, what changed handed on as values.
import { html, classes, useId, useRef, useState } from "../ui.js";
import { cameFrom, useHalfTyped } from "../router.js";
import { words } from "../words.js";
import { showFirstError, TextField } from "./fields.js";
import { problems, rowCount, rowFields, rowOwn, seenFields, valuesOf, withRows } from "./form-values.js";
import { PhotoField } from "./photo-field.js";

/** @typedef {import("./form-values.js").Field} Field */
/** @typedef {import("./form-values.js").Section} Section */
/** @typedef {{texts: Record<string, string>, errors: Record<string, string>,
 *   set: (name: string) => (text: string) => void, change: (texts: Record<string, string>) => void}} Filling */

/**
 * @param {{title: string, hint?: string, sections: Section[]|((texts: Record<string, string>) => Section[]),
 *   before: Record<string, string>, back?: string, save?: string, children?: any,
 *   derive?: (texts: Record<string, string>, name: string, before: Record<string, string>) => Record<string, string>,
 *   check?: (values: Record<string, any>) => Record<string, string>, said?: (texts: Record<string, string>) => string,
 *   onSave: (values: Record<string, any>, changed: string[]) => void|Promise<void>}} props
 *   `sections`: or what makes them of what is typed; `back`: where to without saving, "" for nowhere;
 *   `derive`: texts that follow from the one just typed; `said`: what to say of them all; `check`: what no field alone
 *   can know, by field. A list that changed is named in `changed` by its own name, whatever changed in it.
 */
export function FieldForm({ title, hint, sections, before, back = "/water", save = words.pond.save, ...more }) {
  const [texts, type] = useState(before);
  const [errors, fail] = useState(/** @type {Record<string, string>} */ ({}));
  const isSeen = (/** @type {Field|Section} */ { where }) => where?.(texts) ?? true;
  const all = typeof sections === "function" ? sections(texts) : sections;
  const shown = all.filter(isSeen).map((one) => ({ ...one, fields: one.fields.filter(isSeen) }));
  const fields = seenFields(shown, texts);
  const differs = (/** @type {string} */ name) => (texts[name] ?? "").trim() !== (before[name] ?? "");
  const lists = shown.flatMap(({ rows }) => rows?.name ?? []);
  const changed = [...new Set([...fields.map(({ name }) => name), ...lists].filter(differs).map((name) =>
    lists.find((list) => name.startsWith(`${list}.`)) ?? name))];
  useHalfTyped(changed.length > 0);
  const filling = {
    texts, errors,
    // Of what is typed now, not of what was drawn: a photo takes its time.
    set: (/** @type {string} */ name) => (/** @type {string} */ text) =>
      type((now) => ({ ...now, [name]: text, ...more.derive?.({ ...now, [name]: text }, name, now) })),
    change(/** @type {Record<string, string>} */ next) {
      fail({});
      type(next);
    },
  };
  // Wet fingers tap twice: what is being saved is not saved again.
  const saving = useRef(false);
  const submit = async (event) => {
    event.preventDefault();
    if (saving.current) return;
    const found = problems(fields, texts);
    const values = valuesOf(shown, texts);
    const own = Object.values(found).some(Boolean) ? found : more.check?.(values) ?? {};
    fail(own);
    showFirstError(event.currentTarget);
    if (Object.values(own).some(Boolean)) return;
    saving.current = true;
    await Promise.resolve(more.onSave(values, changed)).finally(() => { saving.current = false; });
  };
  return html`<main class="page">
    <header class="page-head"><div><h1>${title}</h1>${hint && html`<p class="quiet">${hint}</p>`}</div></header>
    <form class="form" onSubmit=${submit} novalidate>
      ${shown.map((section, n) => html`<${OneSection} key=${section.title ?? n} section=${section}
        filling=${filling} />`)}
      <p class="field-more" role="status">${more.said?.(texts)}</p>${more.children}
      <div class="pair"><button type="submit" class="wide-button">${save}</button>
        ${back && html`<a class="plain-button" href=${cameFrom(back)}>${words.card.cancel}</a>`}</div>
    </form>
  </main>`;
}

/** @param {{section: Section, filling: Filling}} props */
function OneSection({ section, filling }) {
  const { title, hint, caution, fields, rows, fold, open, under, across } = section;
  const inside = html`
    ${hint && html`<p class="quiet section-hint">${hint}</p>`}
    ${caution && html`<p class="caution section-hint">${caution}</p>`}
    ${fields.map((one) => html`<${OneField} key=${one.name} field=${one} filling=${filling} />`)}
    ${rows && html`<${AllRows} rows=${rows} filling=${filling} />`}
    ${under?.(filling)}`;
  const name = classes("field-set", (rows || across) && "across");
  if (!fold) {
    return html`<fieldset class=${name}>${title && html`<legend><h2>${title}</h2></legend>`}${inside}</fieldset>`;
  }
  return html`<details class="fold-set" open=${open}><summary><span><b>${title}</b>${" "}
    <span class="quiet">${fold(filling.texts)}</span></span></summary>
    <fieldset class=${name} aria-label=${title}>${inside}</fieldset></details>`;
}

/** @param {{field: Field, filling: Filling}} props */
function OneField({ field, filling: { texts, errors, set } }) {
  const { name, kind, low = 0 } = field;
  const text = texts[name] ?? "";
  if (kind === "kept") return null;
  const shared = { field, text, onText: set(name), error: errors[name] };
  if (kind === "many" || kind === "one") return html`<${Many} ...${shared} />`;
  if (kind === "photo") return html`<${OnePhoto} ...${shared} />`;
  if (field.options) return html`<${Pick} ...${shared} />`;
  const inputmode = kind === "tel" ? "tel" : kind || low < 0 ? "text" : "decimal";
  const line = html`<${TextField} label=${field.label} unit=${field.unit} hint=${field.hint} type=${kind ?? "text"}
    inputmode=${inputmode} text=${text} onText=${set(name)} error=${errors[name]} lines=${field.lines}
    ...${field.most ? { maxlength: field.most } : {}} />`;
  return kind === "text" ? html`<div class="whole-line">${line}</div>` : line;
}

/** @typedef {{field: Field, text: string, onText: (text: string) => void, error?: string}} Chosen */

/** @param {Chosen} props */
function Pick({ field, text, onText, error }) {
  const id = useId();
  return html`<p class=${classes("pond-pick", error && "wrong-value")}><label for=${id}>${field.label}</label>
    <select id=${id} value=${text.trim()} aria-invalid=${error ? "true" : "false"} aria-describedby=${`${id}-more`}
      onChange=${(event) => onText(event.target.value)}>
      ${Object.entries(field.options ?? {}).map(([value, said]) =>
        html`<option key=${value} value=${value}>${said}</option>`)}
    </select><span id=${`${id}-more`} class="field-more" role=${error ? "alert" : undefined}>${error}</span></p>`;
}

/** Any of several, or one of them, each a button that stays pressed. @param {Chosen} props */
function Many({ field, text, onText, error }) {
  const [options, chosen] = [field.options ?? {}, new Set(text.split(","))];
  const flip = (/** @type {string} */ value) => onText(field.kind === "one" ? value : Object.keys(options)
    .filter((one) => (one === value) !== chosen.has(one)).join(","));
  return html`<div class="many" role="group" aria-label=${field.label}><p>${field.label}
      ${" "}<span class="unit">${field.hint}</span></p>
    <p class="picks">${Object.entries(options).map(([value, said]) => html`<button key=${value} type="button"
      class="pick" aria-pressed=${chosen.has(value) ? "true" : "false"}
      onClick=${() => flip(value)}>${said}</button>`)}</p>
    ${error && html`<p class="form-error" role="alert" tabindex="-1" data-wrong>${error}</p>`}</div>`;
}

/** One photo, taken now or chosen. @param {Chosen} props */
function OnePhoto({ field, text, onText }) {
  return html`<div class="whole-line one-photo" role="group" aria-label=${field.label}><p>${field.label}</p>
    <${PhotoField} sums=${text ? [text] : []} most=${1}
      onChange=${(/** @type {string[]} */ sums) => onText(sums[0] ?? "")} /></div>`;
}

/** @param {{rows: import("./form-values.js").Rows, filling: Filling}} props */
function AllRows({ rows, filling }) {
  const adds = useRef(/** @type {HTMLElement|null} */ (null));
  const { texts, errors, change } = filling;
  const count = rowCount(rows, texts);
  const drop = (/** @type {number} */ n) => {
    change(withRows(rows, texts, n));
    adds.current?.focus();
  };
  return html`${count === 0 && rows.none && html`<p class="quiet section-hint">${rows.none}</p>`}
    ${Array.from({ length: count }, (_, n) => html`<fieldset class="field-set field-row" key=${n}>
      <legend>${rows.title(n + 1)}</legend>
      ${rowFields(rows, texts, n).map((one) => html`<${OneField} key=${one.name} field=${one} filling=${filling} />`)}
      ${rows.says && html`<p class="section-hint row-says" role="status">${rows.says(rowOwn(rows, texts, n))}</p>`}
      <button type="button" class="text-button" onClick=${() => drop(n)}>${rows.drop(n + 1)}</button></fieldset>`)}
    ${errors[rows.name] && html`<p class="form-error section-hint" role="alert" tabindex="-1"
      data-wrong>${errors[rows.name]}</p>`}
    <p class="section-hint"><button type="button" class="plain-button" ref=${adds} disabled=${count >= rows.most}
      onClick=${() => change(withRows(rows, texts))}>${rows.add}</button></p>`;
}
