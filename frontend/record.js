// Recording what the keeper did. In this order: the local database and the outbox in one transaction,
// then the screen, then the network.
import { civilDate, withOffset } from "./domain/civil.js";
import { skewMs, unplaced } from "./domain/fold.js";
import { withUnsent } from "./domain/settings.js";
import { writeMeta } from "./offline/local-db.js";
import { entryId, save } from "./offline/outbox.js";
import { get, say, update } from "./store.js";
import { words } from "./words.js";

/** @typedef {import("./domain/types.js").Entry} Entry */

let last_ms = 0;
let askedToKeep = false;
/** @type {(entries: Entry[]) => void} */
let onRecorded = () => {};

/** @param {(entries: Entry[]) => void} listener called after each save, to send it on */
export function whenRecorded(listener) {
  onRecorded = listener;
}

/** The pond's zone, or this device's while no pond is known. @param {string} [pond] */
export function zoneOf(pond) {
  const { plan } = get();
  const known = plan?.ponds.find((one) => one.id === pond)?.zone ?? (plan?.ponds.length ? plan.zone : null);
  return known ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
}

/** A new entry by the person at this device. Two made in one millisecond still stand in order: a reading
 * before the dose that follows from it.
 * @param {string} kind @param {string} pond @param {Record<string, any>} fields
 * @param {number|null} [happened_ms] when it was not now @returns {Entry} */
export function makeEntry(kind, pond, fields, happened_ms = null) {
  const { person, device } = get();
  const now = Date.now();
  // A clock set back must not hold every later entry in the future it came from.
  last_ms = now <= last_ms && last_ms - now < 1000 ? last_ms + 1 : now;
  const zone = zoneOf(pond);
  const ms = happened_ms ?? last_ms;
  return {
    id: entryId(last_ms), v: 1, pond, kind, happened_at: withOffset(zone, ms), local_date: civilDate(zone, ms), zone,
    recorded_at: new Date(last_ms).toISOString(), device, author: person?.id ?? "", ...fields,
  };
}

/** Save entries, all or none, and show them. @param {Entry[]} entries @param {string} [sentence] for the live region */
export async function record(entries, sentence) {
  if (isTrial()) return rehearse(entries, sentence);
  const { seen, stored, why } = await save(entries, get().skew_s);
  update((old) => ({
    seen: new Map([...old.seen, ...seen.map((one) => /** @type {const} */ ([one.id, one]))]),
    waiting: new Set([...old.waiting, ...seen.map((one) => one.id)]),
    unstored: stored ? old.unstored : old.unstored + seen.length,
    trouble: stored ? old.trouble : storageSentence(why),
    plan: old.plan && { ...old.plan, ponds: withUnsent(old.plan.ponds, entries) },
  }));
  if (sentence) say(sentence);
  if (entries.some((entry) => entry.kind === "tick")) keepStorage();
  onRecorded(entries);
}

/** Whether a helper's days are still to come: whatever is done now is a rehearsal. */
function isTrial() {
  const { plan, person, skew_s } = get();
  const hand_over = plan?.hand_overs?.find((one) => one.id === person?.hand_over);
  if (!hand_over?.begins_on) return false;
  return civilDate(zoneOf(hand_over.pond), Date.now() + skewMs(skew_s)) < hand_over.begins_on;
}

/** What a rehearsal records stays on this device, and never stands in the outbox. Its photos stay unsent as well.
 * @param {Entry[]} entries @param {string} [sentence] */
function rehearse(entries, sentence) {
  const tried = entries.map(({ photos, ...entry }) => unplaced(entry, get().skew_s));
  if (sentence) say(sentence);
  return keepTrial([...get().trial, ...tried]);
}

/** @param {import("./domain/types.js").Seen[]} trial what stands of the rehearsal */
export async function keepTrial(trial) {
  update((old) => {
    const before = new Set(old.trial.map((one) => one.id));
    const seen = [...old.seen].filter(([id]) => !before.has(id));
    return { trial, seen: new Map([...seen, ...trial.map((one) => /** @type {const} */ ([one.id, one]))]) };
  });
  await writeMeta({ trial }).catch(() => {});
}

/** @param {any} why */
function storageSentence(why) {
  return why?.name === "QuotaExceededError" ? words.storage.full : words.storage.broken;
}

/** Ask the browser, once, after the first tick, not to clear what is here. */
function keepStorage() {
  if (askedToKeep) return;
  askedToKeep = true;
  navigator.storage?.persist?.().catch(() => false);
}

/** Withdraw an entry. Both stay in the log. @param {import("./domain/types.js").Seen} one @param {string} [sentence] */
export function takeBack(one, sentence) {
  return record([makeEntry("take_back", one.entry.pond, { entry: one.id })], sentence ?? words.book.taken_back);
}
