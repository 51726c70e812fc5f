// The bowling session under way, in this device's database: a phone that dies in wet hands loses at most the last key.
// What is done is no part of it: each fish is an entry as soon as it is done.
import { useEffect, useState } from "../../ui.js";
import { transact, writeMeta } from "../../offline/local-db.js";
import { entryId } from "../../offline/outbox.js";
import { get } from "../../store.js";

/**
 * @typedef {object} InBowl      the fish in hand, as typed
 * @property {string} fish
 * @property {number} since_ms   by this device's clock
 * @property {string} length
 * @property {string} weight
 * @property {string} note
 * @property {string[]} photos
 * @property {string[]} checked
 * @property {Record<string, string>} found   by part
 *
 * @typedef {object} Session
 * @property {string} id
 * @property {string} author
 * @property {number} begun_ms
 * @property {number|null} water_c
 * @property {"standard"|"total"} length_is   kept from fish to fish
 * @property {InBowl|null} bowl
 */

/** A session that nobody ended is over by the next day [ms]. */
const LASTS_MS = 18 * 3600000;

/** @param {string} pond @returns {Promise<Session|null>} */
async function read(pond) {
  const kept = await transact(["meta"], "readonly", (store) => store("meta").get(`bowling/${pond}`)).catch(() => null);
  const mine = kept && kept.author === get().person?.id && Date.now() - kept.begun_ms < LASTS_MS;
  return mine ? withoutDone(kept) : null;
}

/** The page may have died after the entry was written and before the bowl was emptied.
 * @param {Session} kept @returns {Session} */
function withoutDone(kept) {
  const { bowl } = kept;
  const done = bowl && [...get().seen.values()].some(({ entry }) => entry.kind === "fish_measure"
    && entry.session === kept.id && entry.fish === bowl.fish && Date.parse(entry.recorded_at) >= bowl.since_ms);
  return done ? { ...kept, bowl: null } : kept;
}

/** @param {number|null} water_c @param {"standard"|"total"} length_is @returns {Session} */
export function newSession(water_c, length_is) {
  const now = Date.now();
  return { id: entryId(now), author: get().person?.id ?? "", begun_ms: now, water_c, length_is, bowl: null };
}

/** @param {string} fish @returns {InBowl} */
export function inBowl(fish) {
  return { fish, since_ms: Date.now(), length: "", weight: "", note: "", photos: [], checked: [], found: {} };
}

/** The session of a pond: undefined until it was read, null where there is none; each change is written down.
 * @param {string} pond
 * @returns {[Session|null|undefined, (change: (now: Session|null) => Session|null) => void]} */
export function useSession(pond) {
  const [session, hold] = useState(/** @type {Session|null|undefined} */ (undefined));
  useEffect(() => { read(pond).then(hold); }, [pond]);
  const change = (/** @type {(now: Session|null) => Session|null} */ made) => hold((now) => {
    const next = made(now ?? null);
    writeMeta({ [`bowling/${pond}`]: next }).catch(() => {});
    return next;
  });
  return [session, change];
}
