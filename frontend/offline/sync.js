// Sending what waits and fetching what is new: one run at a time, safe to repeat, safe to cut anywhere.
//
// - A run sends batches until the outbox is empty and the server has no more pages. The plan is asked for
//   with the last batch only.
// - Web Locks keep two tabs from sending at once where they exist; the server takes a repeat as one. So a tab that
//   is frozen while it holds the lock is not waited for: after a while the other sends all the same.
// - 401 pauses until somebody signs in. No signal, a busy server or a stranger's page grows the pause.
//   None of these ever counts against an entry.
// - Other tabs of this app on this device are told when the database changed, and read it again.
import { changesFrom, write } from "./apply.js";
import { readPlace, tagsIn } from "./local-db.js";
import { letGo, pending, storeHeld } from "./outbox.js";
import { ask, isOurs } from "./server.js";
import { FIRST_PAUSE_MS, makeTurns } from "./turns.js";

const BATCH = 500;
const SMALLEST_BATCH = 25;
const BODY_BYTES = 800_000;
const POLL_MS = 240_000;
/** Home is still working out pages that rest on what was just sent. */
const FOLLOWS_MS = 1500;
/** Longer than one call can take, sent packed and once more plain. */
const LOCK_PATIENCE_MS = 45_000;

/**
 * @typedef {object} Listener
 * @property {(state: "idle"|"sending"|"no_signal"|"sign_in"|"trouble", problem?: any) => void} state
 * @property {(changes: import("./apply.js").Changes, stored: boolean) => void} changed
 * @property {() => Promise<void>} emptied   put back into the database what this page still knows
 */

/** @typedef {import("./local-db.js").Place} Place */

/**
 * @param {{device: string, app_version: string, author: () => string|null, listener: Listener}} given
 */
export function makeSync({ device, app_version, author, listener }) {
  const turns = makeTurns(lockedRun);
  let batch = BATCH;
  /** @type {Place} */
  let place = { device, epoch: null, cursor: 0, tags: {} };
  const askedAgain = new Set();
  /** How often this device was emptied on purpose: an answer asked for before that is not written after it. */
  let drops = 0;
  /** When another tab was found sending, by this page's own clock [ms]; null when none was.
   * @type {number|null} */
  let kept_out_since = null;

  async function lockedRun() {
    if (!navigator.locks) return run();
    return navigator.locks.request("evenwater-sync", { ifAvailable: true }, (lock) => {
      kept_out_since = lock ? null : kept_out_since ?? performance.now();
      const waited_ms = kept_out_since === null ? 0 : performance.now() - kept_out_since;
      return lock || waited_ms > LOCK_PATIENCE_MS ? run() : turns.later(FIRST_PAUSE_MS);
    });
  }

  async function run() {
    const me = author();
    if (!me) return;
    const dropped = drops;
    const stale = () => drops !== dropped || author() !== me;
    await storeHeld();
    // Out of the database's reach: go on from where the last run stood.
    place = await readPlace().catch(() => place);
    if (place.device === null) {
      // Emptied behind our back; not every way of doing so tells the page.
      await listener.emptied();
      place = await readPlace().catch(() => place);
    }
    let waiting = await pending(me, (id) => !askedAgain.has(id));
    let follows = false;
    listener.state("sending");
    for (let more = true; more;) {
      const sent = fit(waiting, batch);
      const outcome = await exchange(stale, sent, sent.length === waiting.length);
      if (stale()) return undefined;
      if (!outcome.ok) return failed(outcome);
      batch = Math.min(BATCH, batch * 2);
      // A log that began anew has put entries back into the outbox.
      waiting = outcome.new_epoch ? await pending(me, (id) => !askedAgain.has(id)) : waiting.slice(sent.length);
      more = outcome.more || (outcome.stored && waiting.length > 0);
      follows = outcome.follows;
    }
    turns.wayIsOpen();
    listener.state("idle");
    turns.later(follows ? FOLLOWS_MS : POLL_MS);
  }

  /** One call. @param {() => boolean} stale @param {any[]} sent @param {boolean} want_plan @returns {Promise<any>} */
  async function exchange(stale, sent, want_plan) {
    const asked_ms = Date.now();
    const answer = await ask("POST", "/api/sync", {
      device, device_now: new Date(asked_ms).toISOString(), app_version, epoch: place.epoch, cursor: place.cursor,
      entries: sent, want_plan, plan_tags: place.tags,
    }, (data) => isOurs(data, sent));
    // Somebody signed out or in while the call was under way: its answer was not for who is here now.
    if (!answer.ok || stale()) return answer;
    const midway_ms = (asked_ms + Date.now()) / 2;
    const skew_s = (Date.parse(answer.data.server_now) - midway_ms) / 1000;
    const took = await take(sent, answer.data, skew_s);
    const more = took.stored && (answer.data.more || took.new_epoch);
    const follows = answer.data.plan?.follows === true;
    return { ok: true, stored: took.stored, new_epoch: took.new_epoch, more, follows, why: "", problem: null };
  }

  /** @param {any[]} sent @param {any} data @param {number} skew_s */
  async function take(sent, data, skew_s) {
    const changes = changesFrom(sent, data, { epoch: place.epoch, skew_s, now: new Date().toISOString() });
    let stored = true;
    try {
      await write(changes, device);
    } catch {
      stored = false;
    }
    for (const id of changes.deferred) askedAgain.add(id);
    // Held entries are let go only when the server has them, whether or not we could note its verdict.
    letGo(changes.settled);
    place = { device, epoch: data.epoch, cursor: data.cursor, tags: changes.new_epoch ? {} : place.tags };
    for (const record of data.plan ? [...data.plan.days, data.plan] : []) {
      Object.assign(place.tags, Object.fromEntries(tagsIn(record)));
    }
    listener.changed(changes, stored);
    if (stored) tellTabs();
    return { stored, new_epoch: changes.new_epoch };
  }

  /** @param {any} outcome */
  function failed(outcome) {
    if (outcome.why === "sign_in") return listener.state("sign_in", outcome.problem);
    if (outcome.problem?.code === "too_large" && batch > 1) {
      batch = Math.ceil(batch / 2);
      turns.flush();
      return undefined;
    }
    // A small piece may get through where a large one takes too long.
    if (outcome.too_slow) batch = Math.max(SMALLEST_BATCH, Math.ceil(batch / 2));
    listener.state(outcome.why === "refused" || outcome.why === "busy" ? "trouble" : "no_signal", outcome.problem);
    turns.afterPause();
    return undefined;
  }

  /** An entry was recorded: other tabs show it now, with signal or without; home gets it as soon as it can. */
  function recorded() {
    tellTabs();
    return turns.hopeful();
  }

  /** What this device held is about to go: write no answer to a call that is under way. */
  function drop() {
    drops += 1;
  }

  return { hopeful: turns.hopeful, recorded, drop };
}

/** As many as fit into one call. @param {any[]} entries @param {number} most */
function fit(entries, most) {
  let bytes = 0;
  const some = [];
  for (const entry of entries.slice(0, most)) {
    bytes += JSON.stringify(entry).length * 2;
    if (some.length > 0 && bytes > BODY_BYTES) break;
    some.push(entry);
  }
  return some;
}

/** Call on every sign that sending may work. @param {() => void} hopeful */
export function whenHopeful(hopeful) {
  addEventListener("online", hopeful);
  addEventListener("pageshow", hopeful);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") hopeful();
  });
}

const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("evenwater") : null;

function tellTabs() {
  channel?.postMessage("changed");
}

/** @param {() => void} listener */
export function whenTabsTell(listener) {
  channel?.addEventListener("message", () => listener());
}
