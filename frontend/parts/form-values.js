// What a form's fields hold: texts as typed, values as stored, and what is wrong with them. Rows are as many alike as
// the keeper adds: the text of row 2's "rate" of "windows" is windows.2.rate, and "windows" itself says how many.
import { parsed } from "../formats.js";
import { words } from "../words.js";
import { rangeError } from "./fields.js";

/**
 * @typedef {object} Field      a number in `unit` unless it has a kind; stored = (typed - offset) / per
 * @property {string} name
 * @property {string} label
 * @property {"text"|"time"|"date"|"tel"|"many"|"one"|"photo"|"kept"} [kind]   "many": any of its options, "one": one of
 *   them, all in sight; "photo": the sum of one; "kept": goes along unseen
 * @property {string} [unit]
 * @property {number} [low]      in `unit`
 * @property {number} [high]
 * @property {number} [per]
 * @property {number} [offset]
 * @property {string} [hint]
 * @property {Record<string, string>} [options]   value -> words
 * @property {boolean} [required]
 * @property {number} [most]     letters of a text
 * @property {number} [lines]    a text's height
 * @property {boolean} [whole]   a number without a fraction
 * @property {(texts: Record<string, string>) => boolean} [where]   shown only where this holds, of a row's own texts
 *
 * @typedef {object} Rows       a list of records; each field is named within its row
 * @property {string} name
 * @property {Field[]} fields
 * @property {string} add
 * @property {(n: number) => string} title
 * @property {(n: number) => string} drop
 * @property {number} most
 * @property {string} [none]    said while there are none
 * @property {(own: Record<string, string>) => string} [says]   what the row comes to, read back
 *
 * @typedef {{title?: string, hint?: string, caution?: string, fields: Field[], rows?: Rows,
 *   fold?: (texts: Record<string, string>) => string, open?: boolean,
 *   where?: (texts: Record<string, string>) => boolean, under?: (filling: any) => any,
 *   across?: boolean}} Section   `where`: shown only where this holds; `across`: never beside another; `fold`: folded
 * under its title unless `open`, with this said of what is inside; `under`: drawn beneath its fields from what the form
 * holds
 */

/** A stored value as the text of its field. @param {Field} field @param {any} value @returns {string} */
export function fieldText({ kind, options, per = 1, offset = 0 }, value) {
  if (value === null || value === undefined) return "";
  return kind || options || typeof value === "string" ? String(value)
    : String(Number((value * per + offset).toPrecision(6)));
}

/** @param {Field} field @param {string} text @returns {any} */
function valueOf({ kind, options, per = 1, offset = 0 }, text) {
  if (kind === "many") return text ? text.split(",") : [];
  if (text === "") return null;
  return kind || options ? text : Number(((parsed(text) - offset) / per).toPrecision(12));
}

/** @param {Field} field @param {string} text */
function problemIn({ kind, options, required, whole, low = 0, high = Infinity, unit = "" }, text) {
  if (!text) return required ? words.pond.required : "";
  if (kind || options) return "";
  return rangeError(text, { low, high, unit }) || (whole && !Number.isInteger(parsed(text)) ? words.card.whole : "");
}

/** Texts of a list's records. @param {Rows} rows @param {Record<string, any>[]} records
 * @returns {Record<string, string>} */
export function rowTexts({ name, fields }, records) {
  const texts = records.flatMap((one, n) =>
    fields.map((field) => [`${name}.${n}.${field.name}`, fieldText(field, one[field.name])]));
  return Object.fromEntries([[name, String(records.length)], ...texts]);
}

/** @param {Rows|undefined} rows @param {Record<string, string>} texts */
export function rowCount(rows, texts) {
  return rows ? Number(texts[rows.name] ?? 0) : 0;
}

/** The texts of one row, by the names within it.
 * @param {Rows} rows @param {Record<string, string>} texts @param {number} n @returns {Record<string, string>} */
export function rowOwn({ name, fields }, texts, n) {
  return Object.fromEntries(fields.map((one) => [one.name, (texts[`${name}.${n}.${one.name}`] ?? "").trim()]));
}

/** The fields of one row that are to be seen, by their whole names.
 * @param {Rows} rows @param {Record<string, string>} texts @param {number} n @returns {Field[]} */
export function rowFields(rows, texts, n) {
  const { name, fields } = rows;
  const own = rowOwn(rows, texts, n);
  return fields.filter(({ where }) => where?.(own) ?? true)
    .map((one) => ({ ...one, name: `${name}.${n}.${one.name}` }));
}

/** The texts with one more row, or without that one. @param {Rows} rows @param {Record<string, string>} texts
 * @param {number} [gone] @returns {Record<string, string>} */
export function withRows(rows, texts, gone) {
  const count = rowCount(rows, texts);
  if (gone === undefined) {
    const begun = rows.fields.filter(({ options, kind }) => options && kind !== "many")
      .map((one) => [`${rows.name}.${count}.${one.name}`, Object.keys(one.options ?? {})[0]]);
    return { ...texts, ...Object.fromEntries(begun), [rows.name]: String(count + 1) };
  }
  const next = { ...texts, [rows.name]: String(count - 1) };
  for (const { name } of rows.fields) {
    for (let n = gone; n < count; n += 1) {
      next[`${rows.name}.${n}.${name}`] = texts[`${rows.name}.${n + 1}.${name}`] ?? "";
    }
  }
  return next;
}

/** What is seen of the sections: their fields, and those of their rows.
 * @param {Section[]} sections @param {Record<string, string>} texts @returns {Field[]} */
export function seenFields(sections, texts) {
  return sections.flatMap(({ fields, rows }) => {
    if (!rows) return fields;
    const each = Array.from({ length: rowCount(rows, texts) }, (_, n) => rowFields(rows, texts, n));
    return [...fields, ...each.flat()];
  });
}

/** By field, what is wrong with it. @param {Field[]} fields @param {Record<string, string>} texts
 * @returns {Record<string, string>} */
export function problems(fields, texts) {
  return Object.fromEntries(fields.map((one) => [one.name, problemIn(one, (texts[one.name] ?? "").trim())]));
}

/** By field, what it holds; by list, its records. @param {Section[]} sections @param {Record<string, string>} texts
 * @returns {Record<string, any>} */
export function valuesOf(sections, texts) {
  const read = (/** @type {Field} */ one) => valueOf(one, (texts[one.name] ?? "").trim());
  /** @type {Record<string, any>} */
  const values = {};
  for (const { fields, rows } of sections) {
    for (const one of fields) values[one.name] = read(one);
    if (!rows) continue;
    values[rows.name] = Array.from({ length: rowCount(rows, texts) }, (_, n) => Object.fromEntries(
      rowFields(rows, texts, n).map((one) => [one.name.slice(one.name.lastIndexOf(".") + 1), read(one)])));
  }
  return values;
}
