// Small forms for what no job asks for: a water change, food, salt, a service, the membrane's first minutes.
import { html, useState } from "../../ui.js";
import { FieldForm } from "../../parts/field-form.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { makeEntry, record } from "../../record.js";
import { cameFrom, go } from "../../router.js";
import { useStore } from "../../store.js";
import { inUnits, volumeUnit } from "../../units.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */

const W = waterWords;
const PROTEIN = { name: "protein_fraction", label: W.protein, unit: "%", high: 70, per: 100 };

/**
 * @typedef {object} Kind
 * @property {string} title
 * @property {string} [hint]
 * @property {string} [caution]
 * @property {(pond: Pond, plan: Plan, rows: number) => Field[]} fields
 */

/** @type {Record<string, Kind>} */
export const ENTRY_FORMS = {
  water_change: {
    title: W.change,
    fields(pond) {
      const { unit, per } = volumeUnit(pond);
      const { mains, after_carbon, after_membrane } = W.points;
      const high = (pond.volume_l ?? 1e6) * per;
      return [{ name: "volume_l", label: W.change_volume, unit, per, low: 1, high: Math.floor(high), required: true },
        { name: "point", label: W.change_point, options: { mains, after_carbon, after_membrane, pond: W.other_pond },
          required: true }];
    },
  },
  feed: {
    title: W.feed,
    fields: () => [{ name: "feed_g", label: W.feed_g, unit: "g", low: 1, high: 100_000, required: true }, PROTEIN],
  },
  salt: {
    title: W.salt, caution: W.salt_caution,
    fields: () => [{ name: "salt_g", label: W.salt_g, unit: "g", low: 1, high: 10_000_000, required: true }],
  },
  service: {
    title: W.service,
    fields: () => [{ name: "service", label: W.service_what, options: words.kinds.services, required: true }],
  },
  start_up: {
    title: W.start_up, hint: W.start_up_hint,
    fields(pond, plan, rows) {
      const { unit, per } = volumeUnit(pond);
      const ec = plan.quantities.find((one) => one.quantity === "ec25_us_per_cm");
      const known = ec && inUnits(ec, pond);
      const pairs = Array.from({ length: rows }, (_, n) => [
        { name: `minutes ${n}`, label: W.minutes(n + 1), high: 1440, required: n === 0 },
        { name: `ec ${n}`, label: W.ec(n + 1), unit: known?.unit, per: known?.per, high: known?.high,
          required: n === 0 }]);
      return [...pairs.flat(), { name: "flow_l_per_min", label: W.flow, unit: `${unit}/min`, per, high: 1000 * per }];
    },
  },
};

/** What the form begins with. @type {Record<string, Record<string, string>>} */
const BEFORE = { water_change: { point: "mains" }, service: { service: "carbon_agitated" } };
const MOST_ROWS = 60;

/** @param {{plan: Plan, pond: Pond, of: string|null, now_ms: number}} props */
export function EntryForm({ plan, pond, of, now_ms }) {
  const { skew_s } = useStore();
  const [at, when] = useState("");
  const [rows, grow] = useState(4);
  const [wrong, fail] = useState("");
  const kind = of && ENTRY_FORMS[of] ? of : "water_change";
  const { title, hint, caution, fields } = ENTRY_FORMS[kind];
  const save = async (/** @type {Record<string, any>} */ values) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    const told = kind === "start_up" ? startUp(values, rows) : values;
    const given = Object.fromEntries(Object.entries(told).filter(([, value]) => value !== null));
    await record([makeEntry(kind, pond.id, given, momentMs(at, pond.zone, skew_s))], words.pond.saved);
    go(cameFrom("/water"), true);
  };
  return html`<${FieldForm} title=${title} sections=${[{ fields: fields(pond, plan, rows) }]}
      hint=${[plan.ponds.length > 1 && pond.name, hint].filter(Boolean).join(": ")}
      before=${BEFORE[kind] ?? {}} onSave=${save} check=${kind === "start_up" ? halfRows : undefined}>
    ${kind === "start_up" && rows < MOST_ROWS && html`<button type="button" class="plain-button"
      onClick=${() => grow(rows + 1)}>${W.one_more}</button>`}
    <${MomentField} label=${W.happened} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms} error=${wrong} />
    ${caution && html`<p class="caution">${caution}</p>`}
  </${FieldForm}>`;
}

/** @param {Record<string, any>} values @param {number} rows */
function startUp(values, rows) {
  const steps = Array.from({ length: rows }, (_, n) => [values[`minutes ${n}`], values[`ec ${n}`]])
    .filter(([minutes]) => minutes !== null).sort((a, b) => a[0] - b[0]);
  return { steps, flow_l_per_min: values.flow_l_per_min };
}

/** Rows with one half only, by field. @param {Record<string, any>} values */
function halfRows(values) {
  /** @type {Record<string, string>} */
  const wrong = {};
  for (const name of Object.keys(values).filter((one) => one.startsWith("ec "))) {
    const minutes = name.replace("ec", "minutes");
    if ((values[name] === null) !== (values[minutes] === null)) {
      wrong[values[name] === null ? name : minutes] = W.row_needs_both;
    }
  }
  if (values.flow_l_per_min === 0) wrong.flow_l_per_min = words.card.above_nothing;
  return wrong;
}
