// The pond's settings. Each changed field becomes one `set` entry; the one it replaces stays in the log.
import { html } from "../ui.js";
import { civilDate } from "../domain/civil.js";
import { FieldForm } from "../parts/field-form.js";
import { fieldText, rowTexts } from "../parts/form-values.js";
import { Icon } from "../parts/icons.js";
import { LaterPart } from "../parts/later-part.js";
import { useNow, useStore } from "../store.js";
import { shownQuantity, volumeUnit } from "../units.js";
import { startWords } from "../words/start-words.js";
import { words } from "../words.js";
import { saveSettings, settingOf, whose } from "./save-settings.js";
import { shellFrom, volumeFrom, volumeProblem, volumeSections } from "./start/volume-ways.js";

/** @typedef {import("../domain/types.js").Pond} Pond */
/** @typedef {import("../domain/types.js").Plan} Plan */
/** @typedef {import("../parts/form-values.js").Field} Field */
/** @typedef {import("../parts/form-values.js").Section} Section */

const W = startWords;
const BACK = "/book";
const MOST_CONTACTS = 8;
const PLAIN = ["name", "substance", "kh_target_dkh", "kh_kit_step_dkh", "water_running_limit_min", "ring"];
/** What days gone by are reckoned with: another one counts from a date. */
const DATED = new Set(["volume_l", "capful_g", "shell"]);
const A_NUMBER_TO_RING = /^[+0-9][0-9 ()/-]{2,30}$/;

export function PondPage() {
  const { plan, pond } = useStore();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (!plan || !here) {
    return html`<main class="page"><h1>${W.settings}</h1><p class="empty">${words.round.no_plan}</p></main>`;
  }
  return html`<${PondForm} key=${here.id} plan=${plan} pond=${here} />
    <nav class="part" aria-label=${W.also}><h2>${W.also}</h2>
      ${Object.entries(W.links).map(([to, said]) => html`<a class="choice" key=${to}
        href=${to.includes("?") ? `${to}&from=pond` : to}><span>${said}</span><${Icon} name="on" /></a>`)}</nav>
    ${Object.keys(plan.person_names).length > 1 && html`<${LaterPart} name="on-duty" pond=${here} />`}`;
}

/** @param {Plan} plan @param {Pond} pond @returns {Section[]} */
function pondSections(plan, pond) {
  const salt = plan.water.find((one) => one.pond === pond.id)?.findings.find(({ id }) => id === "volume-by-salt");
  const kh = shownQuantity(plan, pond.id, "kh_dkh");
  const dkh = (/** @type {string} */ name, /** @type {string} */ label, /** @type {number} */ low,
    /** @type {number} */ high) => {
    const { unit = "°dKH", per = 1 } = kh ?? {};
    return { name, label, unit, per, low: Number((low * per).toPrecision(3)), high: Number((high * per).toPrecision(3)),
      required: true };
  };
  const altered = (/** @type {Record<string, string>} */ texts) =>
    [{ name: "volume_l", label: "", per: volumeUnit(pond).per }, { name: "capful_g", label: "" }].some((one) =>
      settingOf(pond, one.name) !== null && ((one.name === "volume_l" && texts.way !== "known")
        || (texts[one.name] ?? "").trim() !== textOf(one, pond)));
  return [
    { fields: [{ name: "name", label: W.name, kind: "text", most: 200, required: true }] },
    ...volumeSections(pond, salt?.big),
    { title: W.buffer, fields: [
      { name: "capful_g", label: W.capful, unit: "g", low: 1, high: 2000, hint: W.capful_hint },
      { name: "substance", label: W.substance, options: W.substances },
      dkh("kh_target_dkh", W.target, 3, 10), dkh("kh_kit_step_dkh", W.kit_step, 0.1, 2),
      { name: "water_running_limit_min", label: W.water_limit, unit: "min", low: 1, high: 1440, required: true }] },
    { title: W.since, hint: W.since_hint, across: true, where: altered, fields: [
      { name: "since", label: W.since_when, kind: /** @type {const} */ ("one"), options: W.since_choices }] },
    { title: W.ring, hint: W.ring_hint, fields: [], rows: { name: "ring", title: W.contact, add: W.contact_add,
      drop: W.contact_drop, most: MOST_CONTACTS, fields: [
        { name: "name", label: W.ring_name, kind: "text", most: 200, required: true },
        { name: "tel", label: W.ring_tel, kind: "tel", most: 40, required: true }] } },
  ];
}

/** What the field of a setting begins with: in another unit than the stored one as many digits as were ever meant.
 * @param {Field} field @param {Pond} pond */
function textOf(field, pond) {
  const value = settingOf(pond, field.name);
  const { per = 1 } = field;
  const turned = typeof value === "number" && per !== 1;
  return turned ? String(Number((value * per).toPrecision(4))) : fieldText(field, value);
}

/** @param {{plan: Plan, pond: Pond}} props */
function PondForm({ plan, pond }) {
  const now_ms = useNow();
  const sections = pondSections(plan, pond);
  const [ring] = sections.flatMap(({ rows }) => (rows ? [rows] : []));
  // An older home does not say who is to be rung at which pond.
  const contacts = pond.ring ?? plan.ring;
  const texts = sections.flatMap(({ fields }) => fields).map((one) => [one.name, textOf(one, pond)]);
  const before = { ...Object.fromEntries(texts), way: "known", shape: "rectangle", since: "today",
    ...rowTexts(ring, contacts) };
  const check = (/** @type {Record<string, any>} */ values) => {
    const no_number = values.ring.findIndex((/** @type {any} */ { tel }) => !A_NUMBER_TO_RING.test(tel));
    return no_number >= 0 ? { [`ring.${no_number}.tel`]: W.tel_wanted } : volumeProblem(values, pond);
  };
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const today = values.since === "today" ? civilDate(pond.zone, now_ms) : null;
    return saveSettings(pond, changedSettings(pond, values, changed, today), BACK);
  };
  return html`<${FieldForm} title=${W.settings} hint=${whose(plan, pond)} sections=${sections} before=${before}
    check=${check} back=${BACK} onSave=${save} />`;
}

/** @param {Pond} pond @param {Record<string, any>} values @param {string[]} changed
 * @param {string|null} since   from when on what was known before is another
 * @returns {[string, any, string, string|null][]} */
function changedSettings(pond, values, changed, since) {
  const set = (/** @type {string} */ name, /** @type {any} */ value) =>
    /** @type {[string, any, string, string|null]} */ ([name, value, "pond",
      DATED.has(name) && settingOf(pond, name) != null ? since : null]);
  const settings = [...PLAIN, "capful_g"].filter((name) => changed.includes(name))
    .map((name) => set(name, values[name]));
  const volume = volumeFrom(values, pond);
  if (values.way === "known" ? changed.includes("volume_l") : volume !== null) settings.push(set("volume_l", volume));
  const shell = shellFrom(values);
  // What was told of another outline does not hold of this one; its walls and floor do.
  const { length_m, width_m, surface_m2, ...walls } = pond.shell ?? {};
  return shell ? [...settings, set("shell", { ...walls, ...shell })] : settings;
}

/** An id from a name: "Großer Teich" -> "gro-er-teich"; `otherwise` where it has no letter an id may have.
 * @param {string} name @param {string} otherwise */
export function newSlug(name, otherwise) {
  const slug = name.normalize("NFKD").toLowerCase().replace(/[\u0300-\u036f]/g, "").replace(/[^a-z0-9]+/g, "-");
  return slug.replace(/^-+|-+$/g, "").slice(0, 36) || otherwise;
}
