// Forms of the kit: a piece of it, what its counter shows, what was done to it.
import { html, useState } from "../../ui.js";
import { standingOf } from "../../domain/fold.js";
import { number, parsed, shortDate } from "../../formats.js";
import { jobsWords } from "../../words/jobs-words.js";
import { kitWords } from "../../words/kit-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { fieldText, rowTexts } from "../../parts/form-values.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { PhotoField } from "../../parts/photo-field.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { useStore } from "../../store.js";
import { volumeUnit } from "../../units.js";
import { words } from "../../words.js";
import { newSlug } from "../pond.js";
import { saveSettings, whose } from "../save-settings.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").KitItem} KitItem */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {{plan: Plan, pond: Pond, of: string|null, now_ms: number}} Props */

const W = kitWords;
const BACK = "/kit";

/** @param {Pond} pond @returns {Field[]} */
function itemFields(pond) {
  const { unit, per } = volumeUnit(pond);
  return [
    { name: "name", label: W.name, kind: "text", most: 200, required: true, hint: W.name_hint },
    { name: "kind", label: W.kind, options: W.kinds },
    { name: "place", label: W.place, kind: "text", most: 200 },
    { name: "fitted_on", label: W.fitted_on, kind: "date" },
    { name: "hours_per_day", label: W.hours_per_day, unit: "h", low: 0, high: 24, required: true, hint: W.hours_hint },
    { name: "flow_l_per_day", label: W.flow, unit, per, low: 0, high: 10_000_000 * per, hint: W.flow_hint },
    { name: "spares", label: W.spares_held, whole: true, low: 0, high: 1000, required: true },
  ];
}

/** @type {import("../../parts/form-values.js").Rows} */
const PARTS = {
  name: "parts", add: W.part_add, title: W.part, drop: W.part_drop, most: 12, none: W.parts_none, fields: [
    { name: "name", label: W.part_name, kind: "text", most: 200, required: true },
    { name: "held", label: W.part_held, whole: true, low: 0, high: 1000, required: true }],
};

/** @param {Props} props   without `of` a new one */
export function KitForm({ plan, pond, of }) {
  const kit = pond.kit ?? [];
  const item = kit.find((one) => one.id === of);
  const fields = itemFields(pond);
  const begun = /** @type {Record<string, any>} */ (item ?? { kind: "pump", hours_per_day: 24, spares: 0 });
  const before = { ...rowTexts(PARTS, item?.parts ?? []),
    ...Object.fromEntries(fields.map((one) => [one.name, fieldText(one, begun[one.name])])) };
  const others = kit.filter((one) => one.id !== of);
  const check = (/** @type {Record<string, any>} */ { name, parts }) => {
    const same = others.some((one) => one.name.toLowerCase() === name.toLowerCase());
    const names = parts.map((/** @type {{name: string}} */ one) => one.name.toLowerCase());
    const twice = names.findIndex((/** @type {string} */ one, /** @type {number} */ n) => names.indexOf(one) < n);
    return /** @type {Record<string, string>} */ (same ? { name: W.taken }
      : twice >= 0 ? { [`parts.${twice}.name`]: W.part_twice } : {});
  };
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const id = item?.id ?? freeId(values.name, kit);
    const told = item ? changed : Object.keys(values)
      .filter((name) => values[name] !== null && values[name] !== "" && values[name].length !== 0);
    return saveSettings(pond, told.map((name) => [name, values[name] === "" ? null : values[name], `kit/${id}`]), BACK);
  };
  const remove = async () => {
    const gone = { target: `kit/${of}`, field: "removed", value: true, effective_from: null };
    await record([makeEntry("set", pond.id, gone)], W.removed(item?.name ?? ""));
    go(BACK, true);
  };
  return html`<${FieldForm} title=${item?.name ?? W.new_title} hint=${whose(plan, pond)} sections=${[{ fields,
      caution: W.caution }, { title: W.parts, hint: W.parts_hint, fields: [], rows: PARTS }]} before=${before}
      check=${check} back=${BACK} onSave=${save}>
    ${item && html`<p><button type="button" class="text-button" onClick=${remove}>${W.remove}</button></p>`}
  </${FieldForm}>`;
}

/** @param {string} name @param {KitItem[]} kit */
function freeId(name, kit) {
  const id = newSlug(name, "kit");
  const taken = new Set(kit.map((one) => one.id));
  return taken.has(id) ? [2, 3, 4, 5, 6, 7, 8, 9].map((n) => `${id}-${n}`).find((one) => !taken.has(one)) ?? id : id;
}

/** What the forms of an entry share: its moment, and saving it with `more` settings.
 * @param {Props} props @param {string} kind */
function useMoment({ pond, now_ms }, kind) {
  const { skew_s } = useStore();
  const [at, when] = useState("");
  const [wrong, fail] = useState("");
  const save = async (/** @type {Record<string, any>} */ fields, /** @type {any[]} */ more = []) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    await record([makeEntry(kind, pond.id, fields, momentMs(at, pond.zone, skew_s)), ...more], W.saved);
    go(BACK, true);
  };
  const field = html`<${MomentField} label=${W.happened} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms}
    error=${wrong} />`;
  return { save, field };
}

/** @param {Props} props */
export function MeterForm(props) {
  const { pond, of } = props;
  const item = pond.kit?.find((one) => one.id === of);
  const { save, field } = useMoment(props, "meter");
  const { unit, per } = volumeUnit(pond);
  const fields = [
    { name: "hours", label: W.meter_hours, unit: "h", low: 0, high: 10_000_000 },
    { name: "volume_l", label: W.meter_volume, unit, per, low: 0, high: 10_000_000_000 * per }];
  const check = (/** @type {Record<string, any>} */ { hours, volume_l }) =>
    /** @type {Record<string, string>} */ (hours === null && volume_l === null ? { hours: W.meter_one } : {});
  const { seen } = useStore();
  if (!item) return html`<${Gone} />`;
  const facts = standingOf(seen).filter(({ entry }) => entry.kind === "meter" && entry.pond === pond.id
    && entry.kit === item.id);
  // It is asked, never refused: a new counter does begin at nought.
  const said = (/** @type {Record<string, string>} */ texts) => fields.flatMap(({ name, unit: of, per: times = 1 }) => {
    const shown = facts.map(({ on, entry }) => ({ on, value: (/** @type {any} */ (entry))[name] * times }))
      .filter(({ value }) => value >= 0).pop();
    return shown && parsed(texts[name] ?? "") < shown.value
      ? [W.meter_less(`${number(shown.value, 0)} ${of}`, shortDate(shown.on))] : [];
  }).join(" ");
  const put = (/** @type {Record<string, any>} */ values) => save({ kit: item.id,
    ...Object.fromEntries(Object.entries(values).filter(([, value]) => value !== null)) });
  return html`<${FieldForm} title=${W.of(W.meter, item.name)} hint=${W.meter_hint} sections=${[{ fields }]} before=${{}}
    check=${check} said=${said} back=${BACK} onSave=${put}>${field}</${FieldForm}>`;
}

/** @type {Record<string, string[]>} */
const SERVICES = {
  pump: ["pump_serviced"], air_pump: ["air_pump_serviced"], filter: ["filter_rinsed"], drum: ["drum_rinsed"],
  prefilter: ["prefilter_changed"], cartridge: ["carbon_agitated", "carbon_changed"], lamp: ["lamp_changed"],
  membrane: ["membrane_flushed", "membrane_cleaned", "membrane_changed"], probe: ["probe_calibrated"],
};

/** @param {Props} props */
export function ServiceForm(props) {
  const { pond, of } = props;
  const item = pond.kit?.find((one) => one.id === of);
  const { save, field } = useMoment(props, "service");
  const [photos, keep] = useState(/** @type {string[]} */ ([]));
  if (!item) return html`<${Gone} />`;
  const names = /** @type {Record<string, string>} */ (jobsWords.services);
  const services = [...SERVICES[item.kind] ?? [], "kit_serviced"];
  const spares = item.spares ?? 0;
  const parts = item.parts ?? [];
  // By their place in the list: a name may hold a comma, at which the form would part it.
  const held = parts.flatMap((one, n) => (one.held > 0 ? [[String(n), W.part_of(one.name, one.held)]] : []));
  /** @type {Field[]} */
  const fields = [
    { name: "service", label: W.service_what, options: Object.fromEntries(services.map((one) => [one, names[one]])) },
    { name: "text", label: W.service_text, kind: "text", most: 2000, lines: 2, hint: W.service_text_hint },
    ...spares > 0 ? [{ name: "spare", label: W.spare_used(spares), options: W.yes_no }] : [],
    ...held.length > 0 ? [/** @type {Field} */ ({ name: "parts", label: W.parts_used, kind: "many",
      options: Object.fromEntries(held), hint: W.parts_used_hint })] : []];
  const set = (/** @type {string} */ name, /** @type {any} */ value) =>
    makeEntry("set", pond.id, { target: `kit/${item.id}`, field: name, value, effective_from: null });
  const put = (/** @type {Record<string, any>} */ { service, text, spare, parts: used = [] }) => {
    const left = parts.map((one, n) => (used.includes(String(n)) ? { ...one, held: one.held - 1 } : one));
    return save({ kit: item.id, service, ...(text ? { text } : {}), ...(photos.length > 0 ? { photos } : {}) },
      [...spare === "yes" ? [set("spares", spares - 1)] : [], ...used.length > 0 ? [set("parts", left)] : []]);
  };
  return html`<${FieldForm} title=${W.of(W.service, item.name)} sections=${[{ fields, caution: W.caution }]}
    before=${{ service: services[0], spare: "no" }} back=${BACK} onSave=${put}>${field}
    <div class="whole-line"><${PhotoField} sums=${photos} onChange=${keep} /></div></${FieldForm}>`;
}

function Gone() {
  return html`<main class="page"><p class="empty">${W.not_there}</p>
    <p class="centre"><a class="plain-button" href=${BACK}>${words.card.cancel}</a></p></main>`;
}
