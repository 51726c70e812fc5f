// What may be going on at the pond this minute, from entries alone: water running in, the power out, just back. The
// server's copy is backend/evenwater/domain/rounds/held/events.py; both answer every case of
// tests/reference/rounds/event_cases.json alike. `trouble` names the first steps in the plan's troubles.

/** @typedef {import("./types.js").Seen} Seen */

/**
 * @typedef {object} Running      water that runs into a pond; it matters from `serious_at` on
 * @property {string} pond
 * @property {string} since
 * @property {number} minutes
 * @property {number} limit_min
 * @property {string} serious_at
 * @property {boolean} serious
 * @property {boolean|null} dechlorinated   null where nobody said
 * @property {"water-running"} trouble
 */

/** @typedef {{since: string, minutes: number, rinse: boolean, trouble: "power-out"}} Out */

/** @typedef {{since: string, back_at: string, minutes: number, rinse: boolean, trouble: "power-back"}} Back
 * `rinse`: it was out for so long that filters are rinsed before they run again */

/** Where the keeper set none [min]. */
export const USUAL_LIMIT_MIN = 30;
/** Without flow for longer, a filter is rinsed before it runs into the pond [min]. Common practice, no source. */
export const RINSE_AFTER_MIN = 60;
const BACK_SHOWN_MS = 24 * 3600000;
const MINUTE_MS = 60000;

/** @param {Seen} one */
function at(one) {
  return Date.parse(one.at);
}

/** The water that runs, in that pond or in any; of several the one that is serious first.
 * @param {Seen[]} facts   standing, oldest first
 * @param {number} now_ms @param {string|null} [pond] null for all
 * @param {number} [usual_min]   from when on it matters where whoever opened it did not say
 * @returns {Running|null} */
export function waterRunning(facts, now_ms, pond = null, usual_min = USUAL_LIMIT_MIN) {
  /** @type {Map<string, {first: Seen, limit_min: number, dechlorinated: boolean|null}>} */
  const opened = new Map();
  for (const one of facts) {
    const { entry } = one;
    if (entry.kind !== "water_running" || at(one) > now_ms || (pond !== null && entry.pond !== pond)) continue;
    if (!entry.running) {
      opened.delete(entry.pond);
      continue;
    }
    const before = opened.get(entry.pond) ?? { first: one, limit_min: usual_min, dechlorinated: null };
    opened.set(entry.pond, {
      first: before.first, limit_min: entry.limit_min || before.limit_min,
      dechlorinated: entry.dechlorinated ?? before.dechlorinated,
    });
  }
  const running = [...opened].map(([name, one]) => runningIn(name, one, now_ms));
  running.sort((a, b) => Date.parse(a.serious_at) - Date.parse(b.serious_at) || (a.pond < b.pond ? -1 : 1));
  return running[0] ?? null;
}

/** @param {string} pond @param {{first: Seen, limit_min: number, dechlorinated: boolean|null}} one
 * @param {number} now_ms @returns {Running} */
function runningIn(pond, { first, limit_min, dechlorinated }, now_ms) {
  const serious_ms = at(first) + Math.round(limit_min * 60) * 1000;
  return {
    pond, since: first.at, minutes: Math.floor((now_ms - at(first)) / MINUTE_MS), limit_min,
    serious_at: new Date(serious_ms).toISOString(), serious: now_ms >= serious_ms, dechlorinated,
    trouble: "water-running",
  };
}

/** The power cut that lasts; one mains serves all ponds, so whichever pond it was written for.
 * @param {Seen[]} facts   standing, oldest first
 * @param {number} now_ms @returns {Out|null} */
export function powerOut(facts, now_ms) {
  const { out } = power(facts, now_ms);
  if (!out) return null;
  const minutes = Math.floor((now_ms - at(out)) / MINUTE_MS);
  return { since: out.at, minutes, rinse: minutes > RINSE_AFTER_MIN, trouble: "power-out" };
}

/** The last power cut, for a day after the power came back; null while it is out.
 * @param {Seen[]} facts @param {number} now_ms @returns {Back|null} */
export function powerBack(facts, now_ms) {
  const { out, last } = power(facts, now_ms);
  if (out || !last || now_ms - at(last.back) > BACK_SHOWN_MS) return null;
  const minutes = Math.floor((at(last.back) - at(last.out)) / MINUTE_MS);
  return {
    since: last.out.at, back_at: last.back.at, minutes, rinse: minutes > RINSE_AFTER_MIN, trouble: "power-back",
  };
}

/** Since when it is out, and the last cut that ended.
 * @param {Seen[]} facts @param {number} now_ms
 * @returns {{out: Seen|null, last: {out: Seen, back: Seen}|null}} */
function power(facts, now_ms) {
  /** @type {Seen|null} */
  let out = null;
  let last = null;
  for (const one of facts) {
    if (one.entry.kind !== "power" || at(one) > now_ms) continue;
    if (!one.entry.on) {
      out ??= one;
    } else if (out) {
      last = { out, back: one };
      out = null;
    }
  }
  return { out, last };
}
