// Entries the server has not confirmed. An entry and its place in the outbox are written in one
// transaction, and leave it only in the transaction that records the server's verdict (apply.js).
//
// When the device cannot store at all, an entry is held in memory, sent from there, and said to be so.
//
// Ids are made here. crypto.randomUUID and crypto.subtle do not exist on plain http, and the
// app works there too, within reach of home; crypto.getRandomValues exists everywhere.
import { unplaced } from "../domain/fold.js";
import { transact } from "./local-db.js";

/** @typedef {import("../domain/types.js").Entry} Entry */
/** @typedef {import("../domain/types.js").Seen} Seen */

/** @type {Map<string, Seen>} */
const held = new Map();

/** Save entries and queue them, all or none.
 * @param {Entry[]} entries @param {number} skew_s
 * @returns {Promise<{seen: Seen[], stored: boolean, why?: any}>} */
export async function save(entries, skew_s) {
  const seen = entries.map((entry) => unplaced(entry, skew_s));
  try {
    // Nothing to ask first: these ids were made a moment ago.
    await transact(["entries", "outbox"], "readwrite", (store) => Promise.all(seen.flatMap((one) =>
      [store("entries").add(one), store("outbox").add({ id: one.id, author: one.entry.author })])));
    return { seen, stored: true };
  } catch (/** @type {any} */ why) {
    // The first try was kept after all, and the second found it there.
    if (why?.name === "ConstraintError") return { seen, stored: true };
    for (const one of seen) held.set(one.id, one);
    return { seen, stored: false, why };
  }
}

/** Put entries into the store and the outbox, leaving alone those that are there.
 * @param {Seen[]} seen */
export function put(seen) {
  return transact(["entries", "outbox"], "readwrite", async (store) => {
    const [entries, outbox] = [store("entries"), store("outbox")];
    // Asked all at once and answered in this order, so that the outbox keeps it.
    await Promise.all(seen.map(async (one) => {
      if (await outbox.index("id").getKey(one.id)) return;
      await Promise.all([entries.put(one), outbox.add({ id: one.id, author: one.entry.author })]);
    }));
  });
}

/** Try again to store what is held in memory. @returns {Promise<boolean>} true when nothing is held */
export async function storeHeld() {
  if (held.size === 0) return true;
  const some = [...held.values()];
  try {
    await put(some);
    for (const one of some) held.delete(one.id);
  } catch {
    // Still in memory, still counted and shown; the next flush tries again.
  }
  return held.size === 0;
}

/** What is to be sent for one member, oldest first; deferred ones only when asked for.
 * @param {string} author @param {(id: string) => boolean} sendDeferred
 * @returns {Promise<Entry[]>} */
export async function pending(author, sendDeferred) {
  /** @type {Entry[]} */
  let stored = [];
  try {
    stored = await transact(["entries", "outbox"], "readonly", async (store) => {
      const rows = await store("outbox").getAll();
      const ids = rows.filter((/** @type {any} */ row) =>
        row.author === author && (!row.deferred || sendDeferred(row.id))).map((/** @type {any} */ row) => row.id);
      if (ids.length === 0) return [];
      // Ids begin with the time, so what waits lies close together and comes with one request.
      const sorted = [...ids].sort();
      const near = await store("entries").getAll(IDBKeyRange.bound(sorted[0], sorted[sorted.length - 1]));
      const byId = new Map(near.map((/** @type {Seen} */ one) => [one.id, one.entry]));
      return ids.map((/** @type {string} */ id) => byId.get(id)).filter(Boolean);
    });
  } catch {
    // The store is out of reach for now; what is in memory can still go.
  }
  const inStore = new Set(stored.map((entry) => entry.id));
  const loose = [...held.values()].map((one) => one.entry)
    .filter((entry) => entry.author === author && !inStore.has(entry.id));
  return [...stored, ...loose];
}

/** The server has answered for these; memory may let go. @param {string[]} ids */
export function letGo(ids) {
  for (const id of ids) held.delete(id);
}

/** The entries that are in memory only. */
export function heldEntries() {
  return [...held.values()];
}

/** How many entries are in memory only. */
export function heldCount() {
  return held.size;
}

/** @param {Uint8Array} bytes 16 of them @returns {string} */
function asUuid(bytes) {
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** A UUID of version 7 (RFC 9562, section 5.7): the first 48 bits are the time, the rest is chance.
 * @param {number} now_ms @returns {string} */
export function entryId(now_ms) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  // A phone that woke before 1970 has a negative clock; the id only needs to be its own.
  const ms = Math.max(0, now_ms);
  for (let n = 0; n < 6; n += 1) bytes[n] = Math.floor(ms / 2 ** (8 * (5 - n))) % 256;
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  return asUuid(bytes);
}

/** A UUID of version 4, for the device. @returns {string} */
export function deviceId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = 0x40 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  return asUuid(bytes);
}
