// Late, by what it does: which of the late jobs come first. The server's copy is
// backend/evenwater/domain/rounds/walk/late.py; both answer every case of tests/reference/rounds/late_cases.json alike,
// to the last bit: keep the order of operations.

/** @typedef {Pick<import("./types.js").Job, "closes_at"|"lapses_at"|"waits_until"|"serious_at">} Waiting */

const DAY_MS = 86400000;
const LATE = 1;
const LATE_GROWS = 8;
const LATE_HALF_DAYS = 7;
const MATTERS = 10;

/** How much a late job asks to be done first, 0 or more; 0 while it is not late, or no longer worth doing.
 * @param {Waiting} job @param {number} now_ms @returns {number} */
export function lateness(job, now_ms) {
  const closes = Date.parse(job.closes_at);
  if (now_ms <= closes || (job.lapses_at && now_ms >= Date.parse(job.lapses_at))) return 0;
  if (job.serious_at && now_ms >= Date.parse(job.serious_at)) {
    return MATTERS + MATTERS * ((now_ms - Date.parse(job.serious_at)) / DAY_MS);
  }
  const waits = job.waits_until ? Date.parse(job.waits_until) : closes;
  if (now_ms < waits) return (now_ms - closes) / (waits - closes);
  const days = (now_ms - waits) / DAY_MS;
  return LATE + LATE_GROWS * (days / (days + LATE_HALF_DAYS));
}

/** The same in a word: it can wait, it is late, it matters.
 * @param {Waiting} job @param {number} now_ms @returns {"not_late"|"can_wait"|"late"|"matters"} */
export function latenessKind(job, now_ms) {
  const score = lateness(job, now_ms);
  if (score <= 0) return "not_late";
  return score < LATE ? "can_wait" : score < MATTERS ? "late" : "matters";
}
