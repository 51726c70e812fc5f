// The pond's settings, and the jobs a new household begins with. Each changed field becomes one `set` entry; the one
// it replaces stays in the log.
import { html, useEffect, useId, useState } from "../ui.js";
import { withdrawnIds } from "../domain/fold.js";
import { parsed } from "../formats.js";
import { fetchLater } from "../later-pages.js";
import { rangeError, TextField } from "../parts/fields.js";
import { LaterPart } from "../parts/later-part.js";
import { makeEntry, record } from "../record.js";
import { go, useHalfTyped } from "../router.js";
import { useStore } from "../store.js";
import { shownQuantity, volumeUnit } from "../units.js";
import { words } from "../words.js";

const W = words.pond;
const KH_UNIT = "°dKH";
/** Fields that are numbers. `first`: asked for before the first round. */
const NUMBERS = [
  { field: "volume_l", label: W.volume, unit: "L", low: 100, high: 1_000_000, first: true },
  { field: "capful_g", label: W.capful, unit: "g", low: 1, high: 2000, first: true, hint: W.capful_hint },
  { field: "kh_target_dkh", label: W.target, unit: KH_UNIT, low: 3, high: 10, first: true },
  { field: "latitude", label: W.latitude, unit: "°", low: -66, high: 66, first: true, hint: W.place_hint },
  { field: "longitude", label: W.longitude, unit: "°", low: -180, high: 180, first: true },
  { field: "kh_kit_step_dkh", label: W.kit_step, unit: KH_UNIT, low: 0.1, high: 2 },
  { field: "source_kh_dkh", label: W.source_kh, unit: KH_UNIT, low: 0, high: 25 },
  { field: "inflow_l_per_day", label: W.inflow, unit: "L", low: 0, high: 100_000 },
  { field: "water_running_limit_min", label: W.water_limit, unit: "min", low: 1, high: 1440 },
];

export function PondPage() {
  const { plan } = useStore();
  if (!plan) return html`<main class="page"><h1>${W.title}</h1><p class="empty">${words.round.no_plan}</p></main>`;
  return html`<main class="page">
    <header class="page-head"><div><h1>${plan.ponds.length ? W.settings : W.title}</h1>
      ${plan.ponds.length === 0 && html`<p class="quiet">${W.hint}</p>`}</div></header>
    <${PondForm} key=${plan.ponds[0]?.id ?? ""} pond=${plan.ponds[0] ?? null} />
    ${plan.ponds[0] && Object.keys(plan.person_names).length > 1
      && html`<${LaterPart} name="on-duty" pond=${plan.ponds[0]} />`}
  </main>`;
}

/** The way in for a household without a pond: its figures first, then its jobs. */
export function FirstPond() {
  const { seen } = useStore();
  // What comes next is in the second script: fetched while the pond is told.
  useEffect(fetchLater, []);
  const made = [...seen.values()].find(({ entry }) => entry.target === "pond" && entry.field === "name");
  return html`<main class="page">
    <header class="page-head"><div><h1>${made ? W.jobs : W.title}</h1>
      <p class="quiet">${made ? W.jobs_hint : W.hint}</p></div></header>
    ${made ? html`<${LaterPart} name="jobs-starter" pond=${made.entry.pond} />` : html`<${PondForm} pond=${null} />`}
  </main>`;
}

/** @param {{pond: import("../domain/types.js").Pond|null}} props */
function PondForm({ pond }) {
  const { plan, seen } = useStore();
  const numbers = inKeepersUnits(plan, pond).filter((one) => pond || one.first);
  const [before] = useState(() => asShown(knownSettings(pond, seen, plan?.ring ?? []), numbers));
  const [texts, type] = useState(before);
  const [errors, fail] = useState(/** @type {Record<string, string>} */ ({}));
  const changed = Object.keys(texts).filter((field) => texts[field].trim() !== (pond ? before[field] ?? "" : ""));
  useHalfTyped(pond ? changed.length > 0 : texts.volume_l !== undefined);
  const set = (field) => (text) => type({ ...texts, [field]: text });
  const save = async (event) => {
    event.preventDefault();
    const wrong = problemsIn(texts, numbers, pond === null);
    fail(wrong);
    if (Object.keys(wrong).length > 0) return;
    await record(settingsFrom(texts, changed, pond, numbers), changed.length ? W.saved : W.unchanged);
    if (pond) go("/book", true);
  };
  return html`<form class="form" onSubmit=${save} novalidate>
    <${TextField} label=${W.name} text=${texts.name ?? ""} onText=${set("name")} error=${errors.name} />
    ${numbers.map((one) => html`<${TextField} key=${one.field} label=${one.label} unit=${one.unit}
      inputmode=${one.low < 0 ? "text" : "decimal"} text=${texts[one.field] ?? ""} onText=${set(one.field)}
      hint=${one.hint} error=${errors[one.field]} />`)}
    <${TextField} label=${W.zone} text=${texts.zone ?? ""} onText=${set("zone")} error=${errors.zone} />
    <${Substance} value=${texts.substance ?? "sodium_bicarbonate"} onPick=${set("substance")} />
    <${TextField} label=${W.ring_name} text=${texts.ring_name ?? ""} onText=${set("ring_name")}
      error=${errors.ring_name} />
    <${TextField} label=${W.ring_tel} type="tel" text=${texts.ring_tel ?? ""} onText=${set("ring_tel")}
      error=${errors.ring_tel} />
    <button type="submit" class="wide-button">${W.save}</button>
  </form>`;
}

/** @param {{value: string, onPick: (value: string) => void}} props */
function Substance({ value, onPick }) {
  const id = useId();
  return html`<p class="pond-pick"><label for=${id}>${W.substance}</label>
    <select id=${id} value=${value} onChange=${(event) => onPick(event.target.value)}>
      ${Object.entries(W.substances).map(([name, text]) => html`<option key=${name} value=${name}>${text}</option>`)}
    </select></p>`;
}

/** @typedef {typeof NUMBERS[number] & {per: number}} Shown   typed = stored × per */

/** @param {import("../store.js").Plan|null} plan @param {import("../domain/types.js").Pond|null} pond
 * @returns {Shown[]} */
function inKeepersUnits(plan, pond) {
  const kh = pond && shownQuantity(plan, pond.id, "kh_dkh");
  const units = /** @type {Record<string, {unit: string, per: number}>} */ ({ L: volumeUnit(pond) });
  if (kh) units[KH_UNIT] = kh;
  return NUMBERS.map((one) => {
    const { unit, per } = units[one.unit] ?? { unit: one.unit, per: 1 };
    if (per === 1) return { ...one, per };
    const [low, high] = [Math.ceil(one.low * per * 100) / 100, Math.floor(one.high * per * 100) / 100];
    return { ...one, unit, per, low, high };
  });
}

/** @param {Record<string, string>} texts stored values @param {Shown[]} numbers @returns {Record<string, string>} */
function asShown(texts, numbers) {
  const turned = numbers.filter(({ field, per }) => per !== 1 && texts[field])
    .map(({ field, per }) => [field, String(Number((Number(texts[field]) * per).toPrecision(4)))]);
  return { ...texts, ...Object.fromEntries(turned) };
}

/** @param {Record<string, string>} texts @param {typeof NUMBERS} numbers @param {boolean} first */
function problemsIn(texts, numbers, first) {
  /** @type {Record<string, string>} */
  const wrong = {};
  if (!texts.name?.trim()) wrong.name = W.required;
  if (!zoneNamed(texts.zone ?? "")) wrong.zone = W.zone_unknown;
  for (const one of numbers) {
    const text = (texts[one.field] ?? "").trim();
    const error = text ? rangeError(text, one) : first && one.field === "volume_l" ? W.required : "";
    if (error) wrong[one.field] = error;
  }
  const named = texts.ring_name?.trim();
  if (named && !/^[+0-9][0-9 ()/-]{2,30}$/.test(texts.ring_tel?.trim() ?? "")) wrong.ring_tel = W.tel_wanted;
  if (texts.ring_tel?.trim() && !named) wrong.ring_name = W.required;
  return wrong;
}

/** @param {Record<string, string>} texts @param {string[]} changed
 * @param {import("../domain/types.js").Pond|null} pond @param {Shown[]} numbers */
function settingsFrom(texts, changed, pond, numbers) {
  const id = pond?.id ?? newSlug(texts.name, "pond");
  const per = new Map(numbers.map((one) => [one.field, one.per]));
  const entries = changed.filter((field) => texts[field].trim() !== "" && !field.startsWith("ring_")).map((field) =>
    setEntry(id, field, per.has(field) ? parsed(texts[field]) / (per.get(field) ?? 1)
      : plain(field, texts[field].trim())));
  if (!changed.some((field) => field.startsWith("ring_"))) return entries;
  const name = texts.ring_name?.trim();
  return [...entries, setEntry(id, "ring", name ? [{ name, tel: texts.ring_tel.trim() }] : [])];
}

/** @param {string} field @param {string} text */
function plain(field, text) {
  return field === "zone" ? zoneNamed(text) : text;
}

/** @param {string} pond @param {string} field @param {any} value */
function setEntry(pond, field, value) {
  return makeEntry("set", pond, { target: "pond", field, value, effective_from: null });
}

/** @typedef {import("../domain/types.js").Seen} Seen */

/** Field by field, as text: from the plan, and from the `set` entries this device holds, the last winning.
 * A setting older than what the device keeps is left empty, which means "as it is".
 * @param {import("../domain/types.js").Pond|null} pond @param {Map<string, Seen>} seen
 * @param {{name: string, tel: string}[]} ring @returns {Record<string, string>} */
export function knownSettings(pond, seen, ring) {
  const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (!pond) return { zone: own, substance: "sodium_bicarbonate" };
  /** @type {Record<string, string>} */
  const known = {};
  for (const { entry } of settingsOf(pond.id, seen)) {
    if (isPlain(entry.value)) known[entry.field ?? ""] = String(entry.value);
  }
  for (const [field, value] of Object.entries(pond)) if (field !== "id" && isPlain(value)) known[field] = String(value);
  return { ...known, ring_name: ring[0]?.name ?? "", ring_tel: ring[0]?.tel ?? "" };
}

/** @param {any} value */
function isPlain(value) {
  return typeof value === "string" || typeof value === "number";
}

/** @param {string} pond @param {Map<string, Seen>} seen @returns {Seen[]} by server order, unsent last */
function settingsOf(pond, seen) {
  const gone = withdrawnIds(seen.values());
  return [...seen.values()]
    .filter(({ id, entry }) => entry.kind === "set" && entry.target === "pond" && entry.pond === pond && !gone.has(id))
    .sort((a, b) => (a.seq ?? Infinity) - (b.seq ?? Infinity) || (a.id < b.id ? -1 : 1));
}

/** An id from a name: "Großer Teich" -> "gro-er-teich"; `otherwise` where it has no letter an id may have.
 * @param {string} name @param {string} otherwise */
export function newSlug(name, otherwise) {
  const slug = name.normalize("NFKD").toLowerCase().replace(/[\u0300-\u036f]/g, "").replace(/[^a-z0-9]+/g, "-");
  return slug.replace(/^-+|-+$/g, "").slice(0, 36) || otherwise;
}

/** A time zone as the tables spell it, or "": browsers know "europe/berlin" and "+01:00" too, the server does not.
 * @param {string} name */
function zoneNamed(name) {
  try {
    const known = new Intl.DateTimeFormat("en", { timeZone: name.trim() }).resolvedOptions().timeZone;
    return /^[a-z]/i.test(known) ? known : "";
  } catch {
    return "";
  }
}
