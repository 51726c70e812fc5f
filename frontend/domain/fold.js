// Entries, in any order, to what stands: nothing withdrawn, oldest first. Mirrors the server's
// domain/fold.py, of which tests/reference/rounds/device_cases.json holds both to one answer.

/** @typedef {import("./types.js").Seen} Seen */
/** @typedef {import("./types.js").Entry} Entry */

/** Under a minute it is the network's delay, not a wrong clock [s]. */
const NO_SKEW_S = 60;

/** Milliseconds to add to this device's clock to get the server's.
 * @param {number} skew_s @returns {number} */
export function skewMs(skew_s) {
  return Math.abs(skew_s) < NO_SKEW_S ? 0 : Math.round(skew_s * 1000);
}

/** An entry of this device that the server has not placed yet.
 * @param {Entry} entry @param {number} skew_s @returns {Seen} */
export function unplaced(entry, skew_s) {
  const at = new Date(Date.parse(entry.happened_at) + skewMs(skew_s)).toISOString();
  return { id: entry.id, entry, seq: null, at, on: entry.local_date };
}

/** An entry as the server gives it back.
 * @param {any} logged @returns {Seen} */
export function placed(logged) {
  return {
    id: logged.entry.id, entry: logged.entry, seq: logged.seq, at: logged.placed_at, on: logged.placed_on,
    time_doubtful: logged.time_doubtful, received_at: logged.received_at,
  };
}

/** Ids that are withdrawn. A take back that is itself taken back counts for nothing; take backs
 * that chase each other in a ring withdraw nothing.
 * @param {Iterable<Seen>} entries @returns {Set<string>} */
export function withdrawnIds(entries) {
  const targetOf = new Map();
  const takersOf = new Map();
  for (const { entry } of entries) {
    if (entry.kind !== "take_back") continue;
    targetOf.set(entry.id, entry.entry);
    takersOf.set(entry.entry, [...(takersOf.get(entry.entry) ?? []), entry.id]);
  }
  /** @type {Map<string, boolean>} */
  const counts = new Map();
  for (const taker of targetOf.keys()) if (inRing(taker, targetOf)) counts.set(taker, false);
  const effective = (/** @type {string} */ taker) => {
    let answer = counts.get(taker);
    if (answer === undefined) {
      answer = !(takersOf.get(taker) ?? []).some(effective);
      counts.set(taker, answer);
    }
    return answer;
  };
  return new Set([...targetOf.keys()].filter(effective).map((taker) => targetOf.get(taker)));
}

/** @param {string} taker @param {Map<string, string>} targetOf */
function inRing(taker, targetOf) {
  let here = targetOf.get(taker);
  for (let steps = 0; here !== undefined && here !== taker && steps <= targetOf.size; steps += 1) {
    here = targetOf.get(here);
  }
  return here === taker;
}

/** Facts that stand, oldest first by place in time, then by id. The same id seen twice is one entry; the
 * confirmed copy wins.
 * @param {Iterable<Seen>} entries @returns {Seen[]} */
export function standing(entries) {
  /** @type {Map<string, Seen>} */
  const byId = new Map();
  for (const one of entries) {
    const before = byId.get(one.entry.id);
    if (!before || (before.seq === null && one.seq !== null)) byId.set(one.entry.id, one);
  }
  const all = [...byId.values()];
  const gone = withdrawnIds(all);
  return all
    .filter(({ entry }) => !gone.has(entry.id) && entry.kind !== "take_back" && entry.kind !== "set")
    .map((one) => ({ one, at_ms: Date.parse(one.at) }))
    .sort((a, b) => a.at_ms - b.at_ms || (a.one.entry.id < b.one.entry.id ? -1 : 1))
    .map(({ one }) => one);
}

/** @type {WeakMap<Map<string, Seen>, Seen[]>} */
const stands = new WeakMap();

/** What stands of all a device holds, worked out once for each state of the store, which never edits in place.
 * @param {Map<string, Seen>} seen @returns {Seen[]} */
export function standingOf(seen) {
  const facts = stands.get(seen) ?? standing(seen.values());
  stands.set(seen, facts);
  return facts;
}

/** Whether it is a reading of that quantity at that point of the pond.
 * @param {Seen} one @param {string} pond @param {string|undefined} quantity @param {string} [point] */
export function isReading({ entry }, pond, quantity, point = "pond") {
  return entry.kind === "reading" && entry.pond === pond && entry.quantity === quantity
    && (entry.point ?? "pond") === point;
}

/** `standing_job/due_on/slot`: the job an answer is about. @param {Entry} entry */
export function jobKey(entry) {
  return `${entry.standing_job}/${entry.due_on}/${entry.slot}`;
}
