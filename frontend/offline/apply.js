// What one answer of the server changes on this device: worked out first (changesFrom, pure), then
// written in one transaction (write). Safe to repeat: applying an answer twice is applying it once.
import { addDays } from "../domain/civil.js";
import { placed, unplaced } from "../domain/fold.js";
import { transact } from "./local-db.js";

/** @typedef {import("../domain/types.js").Entry} Entry */
/** @typedef {import("../domain/types.js").Seen} Seen */

/** Days of entries a device keeps. */
export const KEEP_DAYS = 90;

/**
 * @typedef {object} Changes
 * @property {Seen[]} put            entries as they now stand
 * @property {string[]} settled      ids that leave the outbox
 * @property {string[]} deferred     ids that stay in it, marked
 * @property {any[]} aside           entries set aside, with the reason
 * @property {any|null} plan
 * @property {boolean} new_epoch     the server's log began anew
 * @property {Record<string, any>} meta
 */

/** @param {Entry[]} sent  @param {any} answer  @param {{epoch: string|null, skew_s: number, now: string}} known
 * @returns {Changes} */
export function changesFrom(sent, answer, known) {
  /** @type {Changes} */
  const changes = {
    put: [], settled: [], deferred: [], aside: [], plan: answer.plan,
    new_epoch: known.epoch !== null && known.epoch !== answer.epoch,
    meta: {
      epoch: answer.epoch, cursor: answer.cursor, skew_s: known.skew_s, last_sync_at: answer.server_now,
      keeps_jobs: true,
    },
  };
  const oldest = addDays(answer.server_now.slice(0, 10), -KEEP_DAYS);
  sent.forEach((entry, n) => takeVerdict(changes, entry, answer.verdicts[n], known));
  const own = new Set(sent.map(({ id }) => id));
  for (const logged of answer.entries) {
    changes.settled.push(logged.entry.id);
    // One that was just sent comes back when home has blanked a name in it: what home has takes its place.
    if (logged.placed_on >= oldest || isLasting(logged.entry) || own.has(logged.entry.id)) {
      changes.put.push(placed(logged));
    }
  }
  return changes;
}

/** Whether it may still count long after: a standing job's rule, and what withdraws one. @param {Entry} entry */
function isLasting({ kind, target }) {
  return kind === "take_back" || (kind === "set" && (target ?? "").startsWith("job/"));
}

/** @param {Changes} changes @param {Entry} entry @param {any} verdict @param {{now: string}} known */
function takeVerdict(changes, entry, verdict, known) {
  if (verdict.verdict === "deferred") {
    changes.deferred.push(entry.id);
  } else if (verdict.verdict === "refused") {
    const { code, what, where, right } = verdict;
    changes.settled.push(entry.id);
    changes.aside.push({ id: entry.id, entry, code, what, where, right, at: known.now });
  } else {
    changes.settled.push(entry.id);
    changes.put.push(placed({ ...verdict, entry }));
  }
}

/** @param {Changes} changes @param {string} device this one's id */
export function write(changes, device) {
  return transact(["entries", "outbox", "set_aside", "plan", "meta"], "readwrite", async (store) => {
    if (changes.new_epoch) await startAgain(store, device, changes.meta.skew_s);
    for (const one of changes.put) store("entries").put(one);
    for (const one of changes.aside) {
      store("set_aside").put(one);
      store("entries").delete(one.id);
    }
    await leaveOutbox(store, changes);
    if (changes.plan) await writePlan(store("plan"), changes.plan);
    for (const [key, value] of Object.entries(changes.meta)) store("meta").put(value, key);
  });
}

/** The server's log is another one (restored from a backup, say): others' entries go and are pulled
 * again, this device's own are sent again.
 * @param {(name: string) => any} store @param {string} device @param {number} skew_s */
async function startAgain(store, device, skew_s) {
  for (const one of await store("entries").getAll()) {
    if (one.entry.device !== device) {
      store("entries").delete(one.id);
    } else if (!(await store("outbox").index("id").getKey(one.id))) {
      store("entries").put(unplaced(one.entry, skew_s));
      store("outbox").add({ id: one.id, author: one.entry.author });
    }
  }
  store("plan").clear();
}

/** @param {(name: string) => any} store @param {Changes} changes */
async function leaveOutbox(store, changes) {
  const outbox = store("outbox");
  const [settled, deferred] = [new Set(changes.settled), new Set(changes.deferred)];
  /** @type {[number, number]|null} */
  let stroke = null;
  const strike = () => {
    if (stroke) outbox.delete(IDBKeyRange.bound(...stroke));
    stroke = null;
  };
  // Rows stand in the order they were written, so most of what is settled goes in one stroke.
  for (const row of await outbox.getAll()) {
    if (settled.has(row.id)) {
      stroke = [stroke?.[0] ?? row.n, row.n];
      continue;
    }
    strike();
    if (deferred.has(row.id)) outbox.put({ ...row, deferred: true });
  }
  strike();
}

/** @param {any} store @param {any} plan */
async function writePlan(store, plan) {
  const { days, ...head } = plan;
  store.put(mergedHead(await store.get("head"), head), "head");
  for (const day of days) store.put(day, day.date);
  // Yesterday stays: a bedtime job of last night may still be open after midnight.
  const first = addDays(plan.dates[0], -1);
  for (const key of await store.getAllKeys()) if (key !== "head" && key < first) store.delete(key);
}

/** Write what a page still knows into a database that was emptied under it.
 * @param {{device: string, person: any, set_aside: any[], seen: Map<string, Seen>, plan: any}} known
 * @param {Seen[]} unsent */
export function putBack(known, unsent) {
  return transact(["entries", "outbox", "set_aside", "plan", "meta"], "readwrite", async (store) => {
    for (const one of known.seen.values()) store("entries").put(one);
    for (const { id, entry } of unsent) {
      if (!(await store("outbox").index("id").getKey(id))) store("outbox").add({ id, author: entry.author });
    }
    for (const one of known.set_aside) store("set_aside").put(one);
    if (known.plan) await writePlan(store("plan"), known.plan);
    store("meta").put(known.device, "device");
    // Whatever a call under way has noted since: everything is fetched anew.
    store("meta").delete("cursor");
    if (known.person) store("meta").put(known.person, "person");
  });
}

/** Days before today whose round is kept as it was shown. */
const BACK_DAYS = 14;

/** A plan without its days, where the news leaves out what has not changed; an older home knows no warmth, no book,
 * no fish. The jobs a new household is offered stop coming as soon as it has a pond; until it has jobs too, they are
 * kept.
 * @template {{starter: any[], dates: string[], ponds: {id: string}[], water: {pond: string}[],
 *   warmth?: {pond: string}[], book?: {pond: string}[], fish?: {pond: string}[], back?: {date: string}[],
 *   starter_groups?: any[]}} Head
 * @param {Head|null|undefined} old @param {Head} news @returns {Head} */
export function mergedHead(old, news) {
  const kept = (/** @type {"water"|"warmth"|"book"|"fish"} */ page) => {
    const all = [...(news[page] ?? []), ...(old?.[page] ?? [])];
    return news.ponds.flatMap(({ id }) => all.find((one) => one.pond === id) ?? []);
  };
  const starter = news.starter.length ? news.starter : old?.starter ?? [];
  const back = mergedBack(old?.back ?? [], news.back ?? [], news.dates[0]);
  const starter_groups = news.starter_groups?.length ? news.starter_groups : old?.starter_groups ?? [];
  return {
    ...news, starter, starter_groups, back, water: kept("water"), warmth: kept("warmth"), book: kept("book"),
    fish: kept("fish"),
  };
}

/** The two weeks before today, oldest first; a day that came anew takes the place of the one there was.
 * @template {{date: string}} Shown
 * @param {Shown[]} old @param {Shown[]} news @param {string} today @returns {Shown[]} */
function mergedBack(old, news, today) {
  const days = new Map([...old, ...news].map((day) => [day.date, day]));
  const first = addDays(today, -BACK_DAYS);
  return [...days.values()].filter(({ date }) => first <= date && date < today)
    .sort((a, b) => (a.date < b.date ? -1 : 1));
}

/** Forget confirmed entries older than a device keeps. @param {string} today civil date */
export function forgetOld(today) {
  const oldest = addDays(today, -KEEP_DAYS);
  return transact(["entries"], "readwrite", async (store) => {
    /** @type {Seen[]} */
    const all = await store("entries").getAll();
    const old = all.filter((one) => one.seq !== null && one.on < oldest);
    const gone = new Set(old.filter(({ entry }) => !isLasting(entry)).map((one) => one.id));
    // Of what withdraws something, that stays whose target stays.
    const kept = new Set(all.map((one) => one.id).filter((id) => !gone.has(id)));
    for (const { id, entry } of old) if (entry.kind === "take_back" && !kept.has(entry.entry ?? "")) gone.add(id);
    for (const id of gone) store("entries").delete(id);
  });
}
