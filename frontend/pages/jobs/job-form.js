// A standing job as the fields of a form, and back. Every field of it is here, in plain words.
import { rowTexts, fieldText, valuesOf } from "../../parts/form-values.js";
import { shownQuantity } from "../../units.js";
import { words } from "../../words.js";
import { jobsWords } from "../../words/jobs-words.js";
import { conditionFrom, conditionRows, conditionsSay, conditionValues } from "./job-conditions.js";
import { recurFields, recurFrom, recurValues, recurWords, seasonFields, seasonFrom, seasonValues, seasonWords }
  from "./job-when.js";
import { windowRows, windowsFrom, windowValues, windowWords } from "./job-windows.js";

/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {import("../../parts/form-values.js").Rows} Rows */
/** @typedef {Record<string, string>} Texts */
/** @typedef {{plan: Plan, pond: Pond, jobs: StandingJob[], id: string}} Around   `jobs`: all of the pond */

const W = jobsWords;
const ANOTHER = "+";
const MOST_AFTER = 8;
const MOST_CAUTIONS = 4;
const MOST_ASKED = 8;

/** Which fields of the record each section holds, for what others set. @type {Record<string, string[]>} */
export const HOLDS = {
  what: ["text", "why", "how"], where: ["place", "order"], asks: ["asks"], when: ["recur", "season", "starts_on"],
  windows: ["windows", "texts"], only_if: ["only_if"], after: ["after"],
  amount: ["shape", "amount", "setting_c"], who: ["who"], serious: ["serious", "waits_days", "minutes"],
  cautions: ["cautions"], service: ["service", "kit"], active: ["active", "picture"],
};

/** @param {Around} around @returns {Record<string, Section>} by the names of HOLDS */
export function jobSections(around) {
  const { plan, pond } = around;
  const when = [...recurFields(plan, pond), ...seasonFields(),
    /** @type {Field} */ ({ name: "starts_on", label: W.starts_on, kind: "date" })];
  const windows = windowRows();
  const conditions = conditionRows({ plan, pond, jobs: namesOf(around) });
  const read = (/** @type {Section[]} */ sections) => (/** @type {Texts} */ texts) => valuesOf(sections.map((one) =>
    ({ ...one, fields: one.fields.filter(({ where }) => where?.(texts) ?? true) })), texts);
  return {
    what: { title: W.what, fields: [
      { name: "text", label: W.text, kind: "text", most: 200, required: true, hint: W.text_hint },
      { name: "why", label: W.why, kind: "text", most: 200, hint: W.why_hint },
      { name: "how", label: W.how, kind: "text", most: 2000, lines: 3 }] },
    when: { title: W.when, fields: when, fold: (texts) => {
      const values = read([{ fields: when }])(texts);
      return [recurWords(recurFrom(values), plan, pond), seasonWords(seasonFrom(values))].filter(Boolean).join(", ");
    } },
    windows: { title: W.window, hint: W.windows_hint, fields: [], rows: windows, fold: (texts) =>
      Object.values(windowsFrom(read([{ fields: [], rows: windows }])(texts).windows).windows).map(windowWords)
        .join("; ") },
    where: { title: W.where, fields: placeFields(around), fold: (texts) =>
      (texts.place === ANOTHER ? texts.place_name ?? "" : texts.place) },
    only_if: { title: W.only_if, hint: W.only_if_hint, fields: [], rows: conditions, fold: (texts) =>
      conditionsSay({ plan, pond, jobs: namesOf(around) },
        read([{ fields: [], rows: conditions }])(texts).only_if.map(conditionFrom)) },
    after: { title: W.after, hint: W.after_hint, fields: [], rows: afterRows(around), fold: (texts) =>
      listed(texts, "after", "job", namesOf(around)) || W.nothing },
    ...restSections(around),
  };
}

/** @param {Around} around @returns {Record<string, Section>} */
function restSections(around) {
  const { plan, pond } = around;
  const degrees = shownQuantity(plan, pond.id, "temperature_c");
  const kit = { "": W.kit_none, ...Object.fromEntries((pond.kit ?? []).map((one) => [one.id, one.name])) };
  const shapes = /** @type {Record<string, string>} */ (W.shapes);
  const services = /** @type {Record<string, string>} */ (W.services);
  return {
    amount: { title: W.amount, fields: [
      { name: "shape", label: W.shape, options: W.shapes },
      { name: "amount", label: W.amount_text, kind: "text", most: 200, hint: W.amount_hint,
        where: (texts) => texts.shape === "plain" },
      { name: "setting_c", label: W.setting_c, unit: degrees?.unit ?? "°C", per: degrees?.per, offset: degrees?.offset,
        low: degrees ? degrees.offset : 0, high: degrees ? 32 * degrees.per + degrees.offset : 32,
        where: (texts) => texts.shape === "setting" }],
      fold: (texts) => (texts.shape === "plain" ? texts.amount || W.no_amount : shapes[texts.shape]) },
    asks: { title: W.asks, hint: W.asks_hint, fields: [], rows: askedRows(plan), fold: (texts) =>
      listed(texts, "asks", "reading", readingNames(plan)) || W.asks_none },
    who: { title: W.who, fields: [
      { name: "who", label: W.who, kind: "many", options: plan.person_names, hint: W.who_hint }],
      fold: ({ who }) => listedNames(who, plan.person_names) || W.anyone },
    serious: { title: W.serious, fields: [
      { name: "serious", label: W.serious_is, options: W.serious_choices },
      { name: "waits_days", label: W.waits, whole: true, unit: W.days, low: 0, high: 90, required: true },
      { name: "minutes", label: W.minutes, whole: true, unit: W.min, low: 0, high: 600, required: true }],
      fold: (texts) => W.waits_words(texts.serious === "yes", Number(texts.waits_days), texts.minutes) },
    cautions: { title: W.cautions, hint: W.cautions_hint, fields: [], rows: {
      name: "cautions", add: W.caution_add, title: W.caution_n, drop: W.caution_drop, most: MOST_CAUTIONS,
      none: W.cautions_none, fields: [{ name: "text", label: W.caution, kind: "text", most: 2000, required: true }] },
      fold: (texts) => W.count_cautions(Number(texts.cautions ?? 0)) },
    service: { title: W.kit_title, fields: [
      { name: "service", label: W.service, options: W.services }, { name: "kit", label: W.kit, options: kit }],
      fold: (texts) => [services[texts.service], texts.kit && kit[texts.kit]].filter(Boolean).join(", ") },
    active: { title: W.active_title, fields: [{ name: "active", label: W.active, options: W.active_choices }] },
  };
}

/** @param {Around} around @returns {Texts} names by id, this job's own left out; those it names that this pond has not
 *   stay to be seen and to be removed */
function namesOf({ plan, jobs, id }) {
  const offered = new Map((plan.starter_groups ?? []).flatMap((group) => group.jobs).map((one) => [one.id, one.text]));
  const firsts = jobs.find((one) => one.id === id)?.after ?? [];
  const absent = firsts.filter((name) => !jobs.some((one) => one.id === name));
  return Object.fromEntries([...jobs.filter((one) => one.id !== id).map((one) => [one.id, one.text]),
    ...absent.map((name) => [name, W.after_absent(offered.get(name) ?? name)])]);
}

/** @param {Around} around @returns {Field[]} */
function placeFields({ pond, jobs }) {
  const places = [...new Set([...pond.places ?? [], ...jobs.map((one) => one.place)])];
  return [
    { name: "place", label: W.place, options: { ...Object.fromEntries(places.map((one) => [one, one])),
      [ANOTHER]: W.another_place } },
    { name: "place_name", label: W.place_name, kind: "text", most: 200, required: true,
      where: (texts) => texts.place === ANOTHER },
    { name: "order", label: W.order, whole: true, low: 0, high: 10_000, required: true, hint: W.order_hint }];
}

/** @param {Around} around @returns {Rows} */
function afterRows(around) {
  return { name: "after", add: W.after_add, title: W.after_n, drop: W.after_drop, most: MOST_AFTER, none: W.after_none,
    fields: [{ name: "job", label: W.after_job, options: namesOf(around), required: true }] };
}

/** What can be read, and where, in words. @param {Plan} plan @returns {Texts} */
export function readingNames(plan) {
  const points = /** @type {Record<string, string>} */ (words.water.points);
  return Object.fromEntries(plan.quantities.flatMap(({ quantity, label, points: at = ["pond"] }) =>
    at.map((point) => [`${quantity}@${point}`, point === "pond" ? label : `${label}, ${points[point]}`])));
}

/** @param {Plan} plan @returns {Rows} */
function askedRows(plan) {
  return { name: "asks", add: W.asks_add, title: W.asks_n, drop: W.asks_drop, most: MOST_ASKED, none: W.asks_none,
    fields: [{ name: "reading", label: W.asks_reading, options: readingNames(plan), required: true }] };
}

/** @param {Texts} texts @param {string} rows @param {string} field @param {Texts} names */
function listed(texts, rows, field, names) {
  return Array.from({ length: Number(texts[rows] ?? 0) }, (_, n) => names[texts[`${rows}.${n}.${field}`]] ?? "")
    .filter(Boolean).join(", ");
}

/** @param {string} ids with commas between them @param {Texts} names */
function listedNames(ids, names) {
  return ids.split(",").map((id) => names[id]).filter(Boolean).join(", ");
}

/** What the form begins with. @param {Section[]} sections @param {StandingJob} job @param {Around} around
 * @returns {Texts} */
export function jobTexts(sections, job, { plan, pond }) {
  const yes = (/** @type {boolean} */ is) => (is ? "yes" : "no");
  /** @type {Record<string, any>} */
  const values = { ...job, ...recurValues(job.recur, plan, pond), ...seasonValues(job.season),
    serious: yes(job.serious), active: yes(job.active), service: job.service ?? "", kit: job.kit ?? "",
    place_name: "", who: job.who.join(",") };
  /** @type {Record<string, any[]>} */
  const lists = { windows: windowValues(job), only_if: job.only_if.map(conditionValues),
    asks: job.asks.map(({ quantity, point = "pond" }) => ({ reading: `${quantity}@${point}` })),
    after: job.after.map((one) => ({ job: one })), cautions: job.cautions.map((text) => ({ text })) };
  const texts = sections.flatMap(({ fields }) => fields).map((one) => [one.name, fieldText(one, values[one.name])]);
  return Object.assign(Object.fromEntries(texts),
    ...sections.flatMap(({ rows }) => (rows ? [rowTexts(rows, lists[rows.name])] : [])));
}

/** The job's fields as the form has them. @param {Record<string, any>} values @returns {Record<string, any>} */
export function jobFrom(values) {
  const { windows, texts } = windowsFrom(values.windows);
  return {
    text: values.text, why: values.why, how: values.how, order: values.order,
    place: values.place === ANOTHER ? values.place_name : values.place, recur: recurFrom(values),
    season: seasonFrom(values), starts_on: values.starts_on || null, windows, texts,
    only_if: values.only_if.map(conditionFrom), after: values.after.map((/** @type {any} */ one) => one.job),
    asks: values.asks.map(askedFrom), shape: values.shape, amount: values.shape === "plain" ? values.amount : null,
    setting_c: values.shape === "setting" ? values.setting_c : null, who: values.who,
    serious: values.serious === "yes", waits_days: values.waits_days, minutes: values.minutes,
    cautions: values.cautions.map((/** @type {any} */ one) => one.text), service: values.service || null,
    kit: values.kit || null, active: values.active !== "no",
  };
}

/** @param {{reading: string}} row */
function askedFrom({ reading }) {
  const [quantity, point] = reading.split("@");
  return { quantity, point };
}
