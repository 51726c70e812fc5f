// Entries the server has not confirmed. An entry and its place in the outbox are written in one
// transaction, and leave it only in the transaction that records the server's verdict (apply.js).
//
// When the device cannot store at all, an entry is held in memory, sent from there, and said to be so.
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
    await put(seen);
    return { seen, stored: true };
  } catch (why) {
    for (const one of seen) held.set(one.id, one);
    return { seen, stored: false, why };
  }
}

/** Put entries into the store and the outbox, leaving alone those that are there.
 * @param {Seen[]} seen */
export function put(seen) {
  return transact(["entries", "outbox"], "readwrite", async (store) => {
    for (const one of seen) {
      if (await store("outbox").index("id").getKey(one.id)) continue;
      await store("entries").put(one);
      await store("outbox").add({ id: one.id, author: one.entry.author });
    }
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
      const mine = rows.filter((/** @type {any} */ row) => row.author === author && (!row.deferred || sendDeferred(row.id)));
      const found = await Promise.all(mine.map((/** @type {any} */ row) => store("entries").get(row.id)));
      return found.filter(Boolean).map((/** @type {Seen} */ one) => one.entry);
    });
  } catch {
    // The store is out of reach for now; what is in memory can still go.
  }
  const inStore = new Set(stored.map((entry) => entry.id));
  const loose = [...held.values()].map((one) => one.entry).filter((entry) => entry.author === author && !inStore.has(entry.id));
  return [...stored, ...loose];
}

/** The server has answered for these; memory may let go. @param {string[]} ids */
export function letGo(ids) {
  for (const id of ids) held.delete(id);
}

/** How many entries are in memory only. */
export function heldCount() {
  return held.size;
}
