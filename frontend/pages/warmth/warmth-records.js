// What is written down about the warmth at a moment: water, air, the filter house's air, the heater's meter, covers.
import { html, useState } from "../../ui.js";
import { standingOf, isReading } from "../../domain/fold.js";
import { FieldForm } from "../../parts/field-form.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { makeEntry, record } from "../../record.js";
import { cameFrom, go } from "../../router.js";
import { useStore } from "../../store.js";
import { shownQuantity, shownValue } from "../../units.js";
import { warmthWords } from "../../words/warmth-words.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";
import { whose } from "../save-settings.js";
import { BACK } from "./warmth-forms.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {{title: string, point: string, quantities: string[]}} Measuring */

const W = warmthWords.records;

/** Readings at one point, taken together; any one of them is enough. @type {Record<string, Measuring>} */
export const RECORDS = {
  water: { title: W.water, point: "pond", quantities: ["temperature_c"] },
  air: { title: W.air, point: "outside", quantities: ["air_temperature_c"] },
  house: { title: W.house, point: "filter_house", quantities: ["air_temperature_c", "relative_humidity_fraction"] },
  meter: { title: W.meter, point: "heater", quantities: ["heater_meter_kwh"] },
};
const COVERS = Object.fromEntries(warmthWords.cover);

/** @param {import("./warmth-forms.js").Props} props */
export function WarmthRecord({ plan, pond, of, now_ms }) {
  const { skew_s, seen } = useStore();
  const [at, when] = useState("");
  const [wrong, fail] = useState("");
  const measuring = RECORDS[of ?? ""];
  const before = (/** @type {import("../../units.js").Shown} */ known) => {
    const last = standingOf(seen).filter((one) => isReading(one, pond.id, known.quantity, measuring.point)).pop();
    return last ? `${waterWords.before} ${shownValue(known, last.entry.value)}` : "";
  };
  const fields = measuring ? measuring.quantities.flatMap((name) => {
    const known = shownQuantity(plan, pond.id, name);
    return known ? [{ name, label: known.label, unit: known.unit, low: known.low, high: known.high, per: known.per,
      offset: known.offset, hint: before(known) }] : [];
  }) : [{ name: "covered_fraction", label: W.cover, options: COVERS }];
  const check = (/** @type {Record<string, any>} */ values) =>
    (Object.values(values).every((one) => one === null) ? { [fields[0].name]: words.pond.required } : {});
  const save = async (/** @type {Record<string, any>} */ values) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    const ms = momentMs(at, pond.zone, skew_s);
    const entries = measuring
      ? measuring.quantities.filter((name) => typeof values[name] === "number").map((quantity) =>
        makeEntry("reading", pond.id, { quantity, point: measuring.point, value: values[quantity] }, ms))
      : [makeEntry("cover", pond.id, { covered_fraction: Number(values.covered_fraction) }, ms)];
    await record(entries, words.pond.saved);
    go(cameFrom(BACK), true);
  };
  return html`<${FieldForm} title=${measuring?.title ?? W.cover} sections=${[{ fields }]} hint=${whose(plan, pond)}
      before=${measuring ? {} : { covered_fraction: "1" }} back=${BACK} onSave=${save} check=${check}>
    <${MomentField} label=${waterWords.happened} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms}
      error=${wrong} />
    ${!measuring && html`<p class="caution">${warmthWords.cover_caution}</p>`}
  </${FieldForm}>`;
}
