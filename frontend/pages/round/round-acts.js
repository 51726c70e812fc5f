// What a card can ask for, turned into entries. One evening makes one reading: a second value for the same
// card takes the first one back. A dose always follows its reading in time.
import { isReading, standingOf } from "../../domain/fold.js";
import { civilDate } from "../../domain/civil.js";
import { nameOf } from "../../domain/today.js";
import { parsed } from "../../formats.js";
import { makeEntry, record } from "../../record.js";
import { get, update } from "../../store.js";
import { shownQuantity, toStored } from "../../units.js";
import { words } from "../../words.js";
import { askedEntries, askedOf } from "./round-asked.js";

/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../domain/types.js").Seen} Seen */

/** The reading saved today for this card's quantity that no dose has followed yet: latest first.
 * @param {Job} job @param {Seen[]} facts what stands, oldest first @param {string} today @returns {Seen|null} */
export function readingToday(job, facts, today) {
  for (const one of [...facts].reverse()) {
    const { entry } = one;
    if (entry.pond !== job.pond || one.on !== today) continue;
    if (typeof entry.amount_g === "number") return null;
    if (isReading(one, job.pond, job.chart?.quantity)) return one;
  }
  return null;
}

/** @param {string} name of the job, or of one reading it asks for @param {string|null} text null: nothing typed */
export function setDraft(name, text) {
  update((old) => {
    const drafts = { ...old.drafts };
    if (text === null) delete drafts[name];
    else drafts[name] = text;
    return { drafts };
  });
}

/** Entries that make the typed value the evening's one reading; none when it already is.
 * @param {Job} job @param {string} text @param {number} now_ms */
function readingEntries(job, text, now_ms) {
  const { seen, device } = get();
  const zone = get().plan?.ponds.find((pond) => pond.id === job.pond)?.zone ?? "UTC";
  const before = readingToday(job, standingOf(seen), civilDate(zone, now_ms));
  const known = shownQuantity(get().plan, job.pond, job.chart?.quantity);
  const value = known ? toStored(known, parsed(text)) : parsed(text);
  if (before?.entry.value === value) return [];
  const mine = before && before.entry.device === device ? [makeEntry("take_back", job.pond, { entry: before.id })] : [];
  const fields = { quantity: job.chart?.quantity, value, point: "pond", step: job.chart?.step };
  return [...mine, makeEntry("reading", job.pond, fields)];
}

/** @param {Job} job @param {number} now_ms */
export function saveCardReading(job, now_ms) {
  const text = get().drafts[nameOf(job)];
  if (text === undefined || Number.isNaN(parsed(text))) return;
  const entries = readingEntries(job, text, now_ms);
  setDraft(nameOf(job), null);
  if (entries.length) record(entries, words.water.saved(1));
}

/** Jobs whose tick is on its way to the disk: a second tap meanwhile is no second dose. @type {Set<string>} */
const saving = new Set();

/** Tick a job; typed readings go first, in the same transaction.
 * @param {Job} job @param {number|null} amount_g what the card shows
 * @param {import("../../parts/job-line.js").Extra} extra @param {number} now_ms */
export async function tickJob(job, amount_g, extra, now_ms) {
  const name = nameOf(job);
  if (saving.has(name)) return;
  const text = get().drafts[nameOf(job)];
  const asked = askedOf(job, get(), now_ms);
  const readings = [...(text ? readingEntries(job, text, now_ms) : []), ...askedEntries(job, asked)];
  /** @type {Record<string, any>} */
  const fields = { standing_job: job.standing_job, due_on: job.due_on, slot: job.slot };
  if (job.shape === "dose") Object.assign(fields, dosed(job, extra.amount_g ?? amount_g));
  const feed_g = extra.feed_g ?? job.feed_g ?? null;
  if (job.shape === "feed" && feed_g !== null) fields.feed_g = feed_g;
  if (job.shape === "feed" && extra.appetite) fields.appetite = extra.appetite;
  if (job.shape === "setting" && job.setting_c !== null) fields.setting_c = job.setting_c;
  if (extra.override_reason) fields.override_reason = extra.override_reason;
  Object.assign(fields, withPhotos(extra.photos));
  for (const draft of [name, ...asked.map((one) => one.name)]) setDraft(draft, null);
  saving.add(name);
  try {
    await record([...readings, makeEntry("tick", job.pond, fields)], `${job.text}: ${words.card.done}`);
  } finally {
    saving.delete(name);
  }
}

/** How much was eaten shows after the tick: it is told again, of the same moment, with that.
 * @param {Job} job @param {Seen} tick @param {string} appetite */
export function saidEaten(job, tick, appetite) {
  const { standing_job, due_on, slot, feed_g, override_reason, photos, happened_at } = tick.entry;
  const fields = { standing_job, due_on, slot, feed_g, appetite, ...override_reason ? { override_reason } : {},
    ...withPhotos(photos) };
  return record([makeEntry("take_back", job.pond, { entry: tick.id }),
    makeEntry("tick", job.pond, fields, Date.parse(happened_at))],
  `${job.text}: ${/** @type {Record<string, string>} */ (words.kinds.appetites)[appetite]}`);
}

/** @param {Job} job @param {number|null} amount_g */
function dosed(job, amount_g) {
  if (amount_g === null) return {};
  const pond = get().plan?.ponds.find((one) => one.id === job.pond);
  return { amount_g, substance: job.chart?.substance ?? pond?.substance ?? "sodium_bicarbonate" };
}

/** @param {Job} job @param {string} reason @param {string[]} photos */
export function notDone(job, reason, photos) {
  const fields = { standing_job: job.standing_job, due_on: job.due_on, slot: job.slot, reason, ...withPhotos(photos) };
  return record([makeEntry("not_done", job.pond, fields)], `${job.text}: ${words.card.not_done}`);
}

/** @param {Job} job @param {string} text @param {string[]} photos */
export function noteOn(job, text, photos) {
  const fields = { text: `${job.text}: ${text}`, ...withPhotos(photos) };
  return record([makeEntry("note", job.pond, fields)], words.pond.saved);
}

/** @param {string[]} [photos] */
function withPhotos(photos = []) {
  return photos.length > 0 ? { photos } : {};
}
