// Sends photos home, one at a time, in a lane of their own: an entry that mentions a photo never waits for it, nor a
// photo for an entry. Safe to repeat and safe to cut anywhere: a photo goes by the sum of its bytes, and is let go
// only after home has said that it has that sum.
//
// - No signal, a busy home, a stranger's page, a sign-in that has run out: the pause grows, nothing counts against the
//   photo. What home cannot take is marked refused, with the reason, and kept.
// - Home's log began anew (restored from a copy): it is asked which of those still here it lacks.
import { goneOf, noteEpoch, readPhoto, sumsWithBytes, writePhotos } from "./photos-db.js";
import { answerOf, ask } from "./server.js";
import { FIRST_PAUSE_MS, makeTurns } from "./turns.js";

/** How long one photo may take; doubled each time that was not enough. */
const FIRST_PATIENCE_MS = 120_000;
const LONGEST_PATIENCE_MS = 900_000;
/** A tab that is frozen while it holds the lock is not waited for longer: more than one photo can take. */
const LOCK_PATIENCE_MS = LONGEST_PATIENCE_MS + 60_000;
const ASK_AT_ONCE = 200;
/** Refusals that sending again will not change. */
const FINAL = new Set(["no_picture", "too_many_pixels", "too_large"]);
/** Spoilt on the way, perhaps: worth sending again, but not for ever. */
const MAY_PASS = new Set(["wrong_sum"]);
const MOST_TRIES = 3;

/** @typedef {import("./photos-db.js").Photo} Photo */
/** @typedef {import("./server.js").Answer} Answer */

/**
 * @param {object} given
 * @param {() => string|null} given.author            who is signed in here
 * @param {() => Photo[]} given.photos                all that is known of photos here
 * @param {(photos: Photo[]) => void} given.changed   what became of some
 * @param {(problem: import("./server.js").Problem|null) => void} given.trouble   why home takes no photo; null: it does
 */
export function makePhotoLane({ author, photos, changed, trouble }) {
  const turns = makeTurns(lockedRun);
  let patience_ms = FIRST_PATIENCE_MS;
  /** @type {{sent_to: string|null, now: string|null}} */
  const epoch = { sent_to: null, now: null };
  /** When another tab was found sending, by this page's own clock [ms]; null when none was.
   * @type {number|null} */
  let kept_out_since = null;

  /** Send, if there is anything to send. */
  async function lockedRun() {
    const me = author();
    if (!me || (!next(me) && epoch.now === epoch.sent_to)) return;
    if (!navigator.locks) return void await run(me);
    await navigator.locks.request("evenwater-photos", { ifAvailable: true }, (lock) => {
      kept_out_since = lock ? null : kept_out_since ?? performance.now();
      const waited_ms = kept_out_since === null ? 0 : performance.now() - kept_out_since;
      return lock || waited_ms > LOCK_PATIENCE_MS ? run(me) : turns.later(FIRST_PAUSE_MS);
    });
  }

  /** How often home itself failed at a photo since this page was opened. @type {Map<string, number>} */
  const failures = new Map();

  /** The oldest that waits; one at which home fails stands behind the others. @param {string} me */
  function next(me) {
    const failed = (/** @type {Photo} */ one) => failures.get(one.sum) ?? 0;
    return photos().filter((one) => one.state === "waiting" && one.author === me)
      .sort((a, b) => failed(a) - failed(b) || a.taken_ms - b.taken_ms)[0];
  }

  /** @param {string} me */
  async function run(me) {
    try {
      if (!(await askAnew())) return turns.afterPause();
      for (let photo = next(me); photo && author() === me; photo = next(me)) {
        if (!(await send(photo))) return turns.afterPause();
        turns.wayIsOpen();
      }
    } catch {
      // The database does not answer; what is in memory was sent, the rest comes later.
      turns.afterPause();
    }
  }

  /** Another log than the one these were sent to: what it lacks waits again.
   * @returns {Promise<boolean>} whether home has answered */
  async function askAnew() {
    const wanted = epoch.now;
    if (wanted === null || wanted === epoch.sent_to) return true;
    const here = await sumsWithBytes().catch(() => new Set());
    const sent = photos().filter((one) => one.state === "home" && here.has(one.sum));
    // Before the first photo there is nothing to ask about.
    for (let at = 0; epoch.sent_to !== null && at < sent.length; at += ASK_AT_ONCE) {
      const some = sent.slice(at, at + ASK_AT_ONCE);
      const answer = await ask("POST", "/api/photos/lacking", { sums: some.map((one) => one.sum) },
        (data) => Array.isArray(data?.lacking));
      if (!answer.ok) return false;
      const lacking = new Set(answer.data.lacking);
      await tell(some.filter((one) => lacking.has(one.sum)).map((one) => ({ ...one, state: "waiting" })));
    }
    await noteEpoch(wanted).catch(() => {});
    epoch.sent_to = wanted;
    return true;
  }

  /** @param {Photo} known @returns {Promise<boolean>} whether to go on with the next */
  async function send(known) {
    const { photo, bytes } = await readPhoto(known.sum);
    if (photo?.state === "home" || photo?.state === "refused") {
      changed([photo]);  // another tab has seen to it
      return true;
    }
    if (!photo || !bytes) {
      await tell([goneOf(known)]);
      return true;
    }
    // What is on the disk may not know yet that an entry wants it.
    return heard({ ...photo, state: "waiting" }, await put(photo, bytes));
  }

  /** @param {Photo} photo @param {Answer} answer */
  async function heard(photo, answer) {
    if (answer.ok) {
      trouble(null);
      await tell([{ ...photo, state: "home", problem: null }]);
      return true;
    }
    const code = answer.problem?.code ?? "";
    const tries = photo.tries + 1;
    if (FINAL.has(code) || (MAY_PASS.has(code) && tries >= MOST_TRIES)) {
      await tell([{ ...photo, state: "refused", tries, problem: answer.problem }]);
      return true;
    }
    if (MAY_PASS.has(code)) await tell([{ ...photo, tries }]);
    if (answer.why === "busy") failures.set(photo.sum, (failures.get(photo.sum) ?? 0) + 1);
    if (answer.too_slow) patience_ms = Math.min(patience_ms * 2, LONGEST_PATIENCE_MS);
    trouble(code === "photos_full" ? answer.problem : null);
    return false;
  }

  /** @param {Photo} photo @param {ArrayBuffer} bytes @returns {Promise<Answer>} */
  async function put(photo, bytes) {
    const patience = new AbortController();
    const waited = setTimeout(() => patience.abort(), patience_ms);
    try {
      const response = await fetch(`/api/photos/${photo.sum}`, {
        method: "PUT", redirect: "error", cache: "no-store", credentials: "same-origin", signal: patience.signal,
        headers: { "Content-Type": photo.mime }, body: bytes,
      });
      const answer = await answerOf(response);
      return answer.ok && answer.data?.sum !== photo.sum ? { ok: false, why: "not_ours", problem: null } : answer;
    } catch {
      return { ok: false, why: "no_signal", problem: null, too_slow: patience.signal.aborted };
    } finally {
      clearTimeout(waited);
    }
  }

  /** On the disk first, then on the screen. @param {Photo[]} some */
  async function tell(some) {
    if (some.length === 0) return;
    await writePhotos(some).catch(() => {});
    changed(some);
  }

  /** Which log photos were last sent to, and which home's is now.
   * @param {{sent_to?: string|null, now?: string}} told */
  function epochs(told) {
    Object.assign(epoch, told);
    if (epoch.now !== null && epoch.now !== epoch.sent_to) turns.flush();
  }

  return { hopeful: turns.hopeful, epochs };
}
