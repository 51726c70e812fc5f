// The database on this device. Five stores:
//   entries    every entry of the last 90 days, by id
//   outbox     ids the server has not confirmed, in order
//   set_aside  entries the server could not accept, with its reason
//   plan       "head", and one record per day
//   meta       device, person, epoch, cursor, skew_s, last_sync_at
//
// Rules: every access goes through transact(). A dead handle is dropped, reopened and tried once more
// (browsers lose the connection to their storage process; keeping the dead handle loses data silently).
// An access has happened when its transaction completed, never when a request succeeded.
import { openDB } from "../vendor/idb.js";

const NAME = "evenwater";
const VERSION = 1;
const RETRY_ON = new Set(["UnknownError", "InvalidStateError", "AbortError", "TransactionInactiveError"]);

/** @type {Promise<any>|null} */
let opening = null;
/** @type {() => void} */
let onClosed = () => {};

/** Be told when the browser closed the database under us, as it does when storage is cleared, or may have done.
 * @param {() => void} listener */
export function whenClosed(listener) {
  onClosed = listener;
}

/** @returns {Promise<any>} */
function open() {
  if (opening) return opening;
  const started = openDB(NAME, VERSION, {
    upgrade(db) {
      db.createObjectStore("entries", { keyPath: "id" });
      db.createObjectStore("outbox", { keyPath: "n", autoIncrement: true }).createIndex("id", "id", { unique: true });
      db.createObjectStore("set_aside", { keyPath: "id" });
      db.createObjectStore("plan");
      db.createObjectStore("meta");
    },
    blocking(_now, wanted, event) {
      /** @type {IDBDatabase} */ (event.target).close();
      opening = null;
      // Somebody deletes it: the browser, clearing what a site has stored.
      if (wanted === null) onClosed();
    },
    terminated() {
      opening = null;
      onClosed();
    },
  });
  started.catch(() => { opening = null; });
  opening = started;
  return started;
}

/**
 * Do work in one transaction, safe on disk before this returns.
 * @template T
 * @param {string[]} stores
 * @param {"readonly"|"readwrite"} mode
 * @param {(store: (name: string) => any) => Promise<T>|T} work   may run twice; must only touch the stores
 * @returns {Promise<T>}
 */
export async function transact(stores, mode, work) {
  try {
    return await attempt(stores, mode, work);
  } catch (error) {
    if (!RETRY_ON.has(/** @type {any} */ (error)?.name)) throw error;
    const dead = opening;
    opening = null;
    dead?.then((/** @type {any} */ db) => db.close()).catch(() => {});
    const result = await attempt(stores, mode, work);
    // A handle we close ourselves never tells of its end, and what it held may be gone.
    onClosed();
    return result;
  }
}

/** @template T @param {string[]} stores @param {"readonly"|"readwrite"} mode
 * @param {(store: (name: string) => any) => Promise<T>|T} work @returns {Promise<T>} */
async function attempt(stores, mode, work) {
  const db = await open();
  const tx = db.transaction(stores, mode, { durability: "strict" });
  tx.done.catch(() => {});
  try {
    const result = await work((name) => tx.objectStore(name));
    await tx.done;
    return result;
  } catch (error) {
    // A full disk arrives as the transaction's own error, and the request only says "aborted".
    throw tx.error ?? error;
  }
}

/** Everything on this device, read in one transaction. */
export function readAll() {
  return transact(["entries", "outbox", "set_aside", "plan", "meta"], "readonly", async (store) => {
    const [entries, outbox, set_aside, plan, plan_keys, meta, meta_keys] = await Promise.all([
      store("entries").getAll(), store("outbox").getAll(), store("set_aside").getAll(),
      store("plan").getAll(), store("plan").getAllKeys(), store("meta").getAll(), store("meta").getAllKeys(),
    ]);
    return { entries, outbox, set_aside, plan: keyed(plan_keys, plan), meta: keyed(meta_keys, meta) };
  });
}

/** Where this device stands in the server's log.
 * @typedef {{device: string|null, epoch: string|null, cursor: number, tags: Record<string, string>}} Place
 * `device` is null when the database is a new one. */

/** @returns {Promise<Place>} */
export function readPlace() {
  return transact(["meta", "plan"], "readonly", async (store) => {
    const [device, epoch, cursor, records] = await Promise.all([
      store("meta").get("device"), store("meta").get("epoch"), store("meta").get("cursor"), store("plan").getAll(),
    ]);
    const tags = Object.fromEntries(records.flatMap(tagsIn));
    return { device: device ?? null, epoch: epoch ?? null, cursor: cursor ?? 0, tags };
  });
}

/** @typedef {{pond: string, tag: string}} Tagged */

/** The tags in a record of the plan: a day's own, or the head's of each pond's water and warmth.
 * @param {{date?: string, tag?: string, water?: Tagged[], warmth?: Tagged[]}} record @returns {[string, string][]} */
export function tagsIn({ date, tag, water = [], warmth = [] }) {
  const of = (/** @type {string} */ page, /** @type {Tagged[]} */ all) =>
    all.map((one) => /** @type {[string, string]} */ ([`${page}/${one.pond}`, one.tag]));
  return date && tag ? [[date, tag]] : [...of("water", water), ...of("warmth", warmth)];
}

/** @param {string[]} keys @param {any[]} values @returns {Record<string, any>} */
function keyed(keys, values) {
  return Object.fromEntries(keys.map((key, n) => [key, values[n]]));
}

/** Give this device its id, unless another tab did a moment ago. @param {string} device */
export function claimDevice(device) {
  return transact(["meta"], "readwrite", async (store) => {
    if (!(await store("meta").get("device"))) store("meta").put(device, "device");
  });
}

/** @param {Record<string, any>} values put into meta */
export function writeMeta(values) {
  return transact(["meta"], "readwrite", (store) =>
    Promise.all(Object.entries(values).map(([key, value]) => store("meta").put(value, key))));
}
