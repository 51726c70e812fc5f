// The database on this device. Five stores:
//   entries    every entry of the last 90 days, by id; what made standing jobs, however old
//   outbox     ids the server has not confirmed, in order
//   set_aside  entries the server could not accept, with its reason
//   plan       "head", and one record per day
//   meta       device, person, epoch, cursor, skew_s, last_sync_at, keeps_jobs
import { healingDb } from "./healing-db.js";

const db = healingDb("evenwater", 1, (made) => {
  made.createObjectStore("entries", { keyPath: "id" });
  made.createObjectStore("outbox", { keyPath: "n", autoIncrement: true }).createIndex("id", "id", { unique: true });
  made.createObjectStore("set_aside", { keyPath: "id" });
  made.createObjectStore("plan");
  made.createObjectStore("meta");
});

/** Do work in one transaction, safe on disk before this returns; `work` may run twice. */
export const transact = db.transact;

/** Be told when the browser closed the database under us, as it does when storage is cleared, or may have done. */
export const whenClosed = db.whenClosed;

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
    const [device, epoch, read_to, keeps_jobs, records] = await Promise.all([
      store("meta").get("device"), store("meta").get("epoch"), store("meta").get("cursor"),
      store("meta").get("keeps_jobs"), store("plan").getAll(),
    ]);
    // An older version let go of what made the standing jobs: it is fetched anew, once.
    const cursor = keeps_jobs ? read_to : 0;
    const tags = Object.fromEntries(records.flatMap(tagsIn));
    return { device: device ?? null, epoch: epoch ?? null, cursor: cursor ?? 0, tags };
  });
}

/** @typedef {{pond: string, tag: string}} Tagged */

/** The tags in a record of the plan: a day's own, or the head's of each pond's water, warmth, book and fish, of the
 * days gone by, and of the year on offer.
 * @param {{date?: string, tag?: string, water?: Tagged[], warmth?: Tagged[], book?: Tagged[],
 *   fish?: Tagged[], back?: {date: string, tag: string}[], starter_tag?: string}} record
 * @returns {[string, string][]} */
export function tagsIn({ date, tag, water = [], warmth = [], book = [], fish = [], back = [], starter_tag }) {
  const of = (/** @type {string} */ page, /** @type {Tagged[]} */ all) =>
    all.map((one) => /** @type {[string, string]} */ ([`${page}/${one.pond}`, one.tag]));
  if (date && tag) return [[date, tag]];
  const gone = back.map((day) => /** @type {[string, string]} */ ([`back/${day.date}`, day.tag]));
  /** @type {[string, string][]} */
  const starter = starter_tag ? [["starter", starter_tag]] : [];
  return [...starter, ...of("water", water), ...of("warmth", warmth), ...of("book", book), ...of("fish", fish),
    ...gone];
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
