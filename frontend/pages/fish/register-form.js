// The register's form: a fish, or a group not told apart. Each changed field is one `set` entry of its own.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { registerWords } from "../../words/fish-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { fieldText } from "../../parts/form-values.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { newSlug } from "../pond.js";
import { whose } from "../save-settings.js";
import { NotThere } from "./one-fish.js";

/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {import("./fish.js").FishProps} FishProps */
/** @typedef {import("../../domain/fish-types.js").FishState} FishState */

const W = registerWords;
const BACK = "/fish";
const isNew = (/** @type {Record<string, string>} */ texts) => texts.since === "new";

/** @type {Field[]} */
const FIRST = [
  { name: "name", label: W.name, kind: "text", most: 200, required: true, hint: W.name_hint },
  { name: "variety", label: W.variety, kind: "text", most: 200, hint: W.variety_hint },
  { name: "count", label: W.count, whole: true, low: 1, high: 10_000, required: true, hint: W.count_hint },
  { name: "picture", label: W.picture, kind: "photo" },
];
/** @type {Field[]} */
const MORE = [
  { name: "sex", label: W.sex, options: W.sexes },
  { name: "born_year", label: W.born_year, whole: true, low: 1900, high: 2200 },
  { name: "came_on", label: W.came_on, kind: "date" },
  { name: "origin", label: W.origin, kind: "text", most: 200, hint: W.origin_hint },
  { name: "marks", label: W.marks, kind: "text", most: 2000, lines: 2 },
];
/** @type {Section[]} */
const COMING = [
  { fields: [{ name: "since", label: W.since, options: W.sinces },
    { name: "quarantine", label: W.quarantine, options: W.yes_no, where: isNew }] },
  { fields: [], caution: W.caution, where: isNew },
];

/** @param {FishProps} props   without `of` a new one */
export function RegisterForm({ plan, pond, fish: all, of, now_ms }) {
  const fish = all.find((one) => one.id === of);
  if (of && !fish) return html`<${NotThere} />`;
  const told = [...FIRST, ...MORE];
  const begun = /** @type {Record<string, any>} */ (fish ?? { count: 1 });
  const before = { since: "here", quarantine: "yes",
    ...Object.fromEntries(told.map((one) => [one.name, fieldText(one, begun[one.name])])) };
  const today = civilDate(pond.zone, now_ms);
  const check = (/** @type {Record<string, any>} */ { name, born_year, came_on }) => {
    const same = all.some((one) => one.id !== of && one.name.toLowerCase() === name.toLowerCase());
    return /** @type {Record<string, string>} */ ({ name: same ? W.taken : "",
      born_year: born_year > Number(today.slice(0, 4)) ? W.year_future : "",
      came_on: came_on && came_on > today ? W.came_future : "" });
  };
  const save = async (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const names = told.map((one) => one.name).filter((name) =>
      (fish ? changed.includes(name) : name === "name" || (values[name] || "") !== ""));
    await record([...settings(fish, pond.id, values, names, today)], W.saved(values.name));
    go(BACK, true);
  };
  const history = (fish?.measures.length ?? 0) + (fish?.seen.length ?? 0);
  const close = async () => {
    const gone = { target: `fish/${of}`, field: "closed", value: true, effective_from: null };
    await record([makeEntry("set", fish?.set_at ?? pond.id, gone)], W.closed(fish?.name ?? "", history));
    go(BACK, true);
  };
  const sections = [{ fields: FIRST }, ...fish ? [] : COMING, { title: W.more, fields: MORE }];
  return html`<${FieldForm} title=${fish?.name ?? W.title} hint=${whose(plan, pond)} sections=${sections}
    before=${before} check=${check} back=${BACK} onSave=${save}>
    ${fish && html`<p><button type="button" class="text-button" onClick=${close}>${W.close}</button>
      <span class="quiet">${history > 0 ? W.close_history(history) : ""} ${W.close_hint}</span></p>`}</${FieldForm}>`;
}

/** @param {FishState|undefined} fish @param {string} pond @param {Record<string, any>} values @param {string[]} names
 * @param {string} today */
function settings(fish, pond, values, names, today) {
  const id = fish?.id ?? freshId(values.name);
  const come = !fish && values.since === "new";
  const came_on = values.came_on ?? (come ? today : null);
  const all = names.includes("came_on") || !come ? names : [...names, "came_on"];
  const entries = all.map((field) => makeEntry("set", fish?.set_at ?? pond, { target: `fish/${id}`, field,
    value: field === "came_on" ? came_on : values[field] === "" ? null : values[field], effective_from: null }));
  const move = { to_pond: pond, count: values.count, fish: [id], how: "new", quarantine: values.quarantine === "yes" };
  return come ? [...entries, makeEntry("fish_move", pond, move)] : entries;
}

/** Two phones without signal may each add a fish of one name: they stay two. @param {string} name */
function freshId(name) {
  const chance = crypto.getRandomValues(new Uint32Array(1))[0].toString(36).slice(0, 5);
  return `${newSlug(name, "fish").slice(0, 32)}-${chance}`;
}
