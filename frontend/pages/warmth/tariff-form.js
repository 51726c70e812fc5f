// The tariff: what a kWh costs when. Windows that overlap are refused here, by name, before home would.
import { html, useMemo } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { withdrawnIds } from "../../domain/fold.js";
import { hasNoLength, overlapIn } from "../../domain/tariff-week.js";
import { EntryLine } from "../../parts/entry-line.js";
import { FieldForm } from "../../parts/field-form.js";
import { useStore } from "../../store.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { saveSettings, whose } from "../save-settings.js";
import { BACK, beginning, tidy, wholeFrom } from "./warmth-forms.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../parts/form-values.js").Section} Section */

const W = warmthFormWords;
const MOST_WINDOWS = 48;
const RATES = { low: -100, high: 1000 };

/** @param {string} currency @returns {Section[]} */
function tariffSections(currency) {
  const unit = `${currency}/kWh`;
  return [
    { title: W.rates, fields: [
      { name: "tariff.currency", label: W.currency, kind: "text", most: 4, required: true, hint: W.currency_long },
      { name: "tariff.otherwise_rate_per_kwh", label: W.otherwise, unit, ...RATES, required: true },
      { name: "tariff.standing_per_day", label: W.standing, unit: currency, low: 0, high: 1000,
        hint: W.usual(`0 ${currency}`) }] },
    { title: W.windows, hint: W.windows_hint, fields: [{ name: "tariff.clock", label: W.clock, options: W.clocks }],
      rows: { name: "tariff.windows", add: W.window_add, title: W.window, drop: W.window_drop, most: MOST_WINDOWS,
        none: W.windows_none, fields: [
          { name: "from", label: W.from, kind: "time", required: true },
          { name: "to", label: W.to, kind: "time", required: true },
          { name: "rate_per_kwh", label: W.rate, unit, ...RATES, required: true },
          { name: "days", label: W.days, kind: "many", options: W.weekdays, hint: W.days_hint }] } },
    { title: W.since, fields: [{ name: "since", label: W.holds_from, kind: "date", hint: W.holds_hint }] },
  ];
}

/** @param {Record<string, any>} values @returns {Record<string, string>} */
function fits(values) {
  const windows = values["tariff.windows"];
  const empty = windows.findIndex(hasNoLength);
  if (empty >= 0) return { [`tariff.windows.${empty}.to`]: W.no_length };
  const found = overlapIn(windows);
  return found ? { [`tariff.windows.${found.other}.from`]: W.overlap(found.one + 1, found.other + 1, found.at) } : {};
}

/** @param {import("./warmth-forms.js").Props} props */
export function TariffForm({ plan, pond, now_ms }) {
  const currency = pond.tariff?.currency ?? "€";
  const sections = tariffSections(currency);
  const today = civilDate(pond.zone, now_ms);
  const before = beginning(pond, sections, { "tariff.currency": currency, since: pond.tariff ? today : null });
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    const tariff = { ...wholeFrom(values, "tariff"), windows: values["tariff.windows"].map(tidy) };
    return saveSettings(pond, changed.length > 0 ? [["tariff", tariff]] : [], BACK, values.since);
  };
  return html`<${FieldForm} title=${W.titles.tariff} hint=${whose(plan, pond)} sections=${sections} before=${before}
    check=${fits} back=${BACK} onSave=${save}>
      <${ToCome} pond=${pond} today=${today} now_ms=${now_ms} /></${FieldForm}>`;
}

/** Tariffs told for a later date. @param {{pond: Pond, today: string, now_ms: number}} props */
function ToCome({ pond, today, now_ms }) {
  const { seen } = useStore();
  const later = useMemo(() => {
    const gone = withdrawnIds(seen.values());
    return [...seen.values()].filter(({ id, entry }) => entry.pond === pond.id && entry.kind === "set" && !gone.has(id)
      && entry.field === "tariff" && (entry.effective_from ?? "") > today);
  }, [seen, pond.id, today]);
  if (later.length === 0) return null;
  return html`<div class="to-come"><h2>${W.to_come}</h2><ul class="entry-list">${later.map((one) =>
    html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul></div>`;
}
