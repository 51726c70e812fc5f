// A database of this device that mends itself; local-db.js and photos-db.js each have one.
//
// Rules: every access goes through transact(). A dead handle is dropped, reopened and tried once more
// (browsers lose the connection to their storage process; keeping the dead handle loses data silently).
// An access has happened when its transaction completed, never when a request succeeded.
import { openDB } from "../vendor/idb.js";

const RETRY_ON = new Set(["UnknownError", "InvalidStateError", "AbortError", "TransactionInactiveError"]);

/**
 * @typedef {object} HealingDb
 * @property {<T>(stores: string[], mode: "readonly"|"readwrite",
 *   work: (store: (name: string) => any) => Promise<T>|T) => Promise<T>} transact   do work in one transaction, safe on
 *   disk before this returns; `work` may run twice and must only touch the stores
 * @property {(listener: () => void) => void} whenClosed   be told when the browser closed the database under us, as it
 *   does when storage is cleared, or may have done
 */

/** @param {string} name @param {number} version @param {(db: any) => void} upgrade makes its stores
 * @returns {HealingDb} */
export function healingDb(name, version, upgrade) {
  /** @type {Promise<any>|null} */
  let opening = null;
  /** @type {() => void} */
  let onClosed = () => {};

  /** @returns {Promise<any>} */
  function open() {
    if (opening) return opening;
    const started = openDB(name, version, {
      upgrade,
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

  /** @type {HealingDb["transact"]} */
  async function transact(stores, mode, work) {
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

  /** @type {HealingDb["transact"]} */
  async function attempt(stores, mode, work) {
    const db = await open();
    const tx = db.transaction(stores, mode, { durability: "strict" });
    tx.done.catch(() => {});
    try {
      const result = await work((store) => tx.objectStore(store));
      await tx.done;
      return result;
    } catch (error) {
      // A full disk arrives as the transaction's own error, and the request only says "aborted".
      throw tx.error ?? error;
    }
  }

  return { transact, whenClosed: (listener) => { onClosed = listener; } };
}
