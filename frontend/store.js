// What the screen shows, in one plain object. Changes are pure: update() takes a function from
// the old state to the new one, and never edits in place.
import { useEffect, useRef, useState } from "./ui.js";
import { skewMs } from "./domain/fold.js";

/** @typedef {import("./domain/types.js").Seen} Seen */
/** @typedef {import("./domain/types.js").Plan} Plan */

/**
 * @typedef {{id: string, name: string, hand_over?: string|null}} Who   `hand_over`: a helper's
 *
 * @typedef {object} Helps
 * @property {string} sum                          of the secret in the link
 * @property {string} name                         what the hand-over is called
 * @property {string[]} keeper_names
 * @property {string|null} begins_on
 * @property {string|null} ends_on
 * @property {{name: string, tel: string}[]} ring  whom to ring once the plan is gone
 * @property {boolean} [shut]                      home no longer knew this phone when it last asked
 *
 * @typedef {object} State
 * @property {boolean} ready                       the local database has been read
 * @property {"unknown"|"first_start"|"sign_in"|"signed_in"|"over"} access   what the server last said
 * @property {{needs_code: boolean, example: boolean}} start
 * @property {Who|null} person                     who works this device, also without signal
 * @property {Helps|null} helps                    the link that bound this phone, if a helper's link did
 * @property {{keeper_names: string[], ended_on: string|null}|null} ended   a helper's days are over, by home's word
 * @property {Seen[]} trial                        what a helper's rehearsal recorded; it is in `seen` and never sent
 * @property {string} device
 * @property {Map<string, Seen>} seen              every entry this device holds, by id
 * @property {Set<string>} waiting                 ids in the outbox
 * @property {Set<string>} deferred                ids the server keeps for after its upgrade
 * @property {any[]} set_aside
 * @property {Plan|null} plan
 * @property {number} skew_s                       server clock minus device clock [s]
 * @property {string|null} last_sync_at            our clock, RFC 3339
 * @property {"idle"|"sending"|"no_signal"|"sign_in"|"trouble"} sync
 * @property {import("./offline/server.js").Problem|null} problem   what the server said when it refused
 * @property {number} unstored                     entries held in memory only
 * @property {string|null} trouble                 one sentence about storage, or null
 * @property {boolean} update_ready                a new version waits
 * @property {boolean} installable                 the browser would put the app on the home screen, if asked
 * @property {string} said                         last sentence for the live region
 * @property {Record<string, string>} drafts      readings typed on cards and not saved, by the name of the job
 * @property {"away"|"here"|"failed"} later       the script of the pages that come later
 * @property {string|null} pond                    the pond chosen for readings and notes
 * @property {Map<string, import("./offline/photos-db.js").Photo>} photos   those this device took, by sum
 * @property {import("./offline/server.js").Problem|null} photo_problem      why home takes no photos at present
 */

/** @type {State} */
let state = {
  ready: false, access: "unknown", start: { needs_code: false, example: false }, person: null, helps: null, ended: null,
  trial: [], device: "", seen: new Map(), waiting: new Set(), deferred: new Set(), set_aside: [], plan: null, skew_s: 0,
  last_sync_at: null, sync: "idle", problem: null, unstored: 0, trouble: null, update_ready: false,
  installable: false, said: "", drafts: {}, later: "away", pond: null, photos: new Map(), photo_problem: null,
};

/** @type {Set<() => void>} */
const listeners = new Set();

export function get() {
  return state;
}

/** @param {(old: State) => Partial<State>} change */
export function update(change) {
  state = { ...state, ...change(state) };
  for (const listener of listeners) listener();
}

/** @param {() => void} listener @returns {() => void} stop listening */
function subscribe(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** The one hook that reads the store. Whoever reads it is drawn anew only when something it read is another: what the
 * sync line tells every few seconds leaves the round as it is.
 * @returns {State} */
export function useStore() {
  const [, again] = useState(0);
  const drawn = useRef(/** @type {Map<keyof State, any>} */ (new Map()));
  /** @type {Map<keyof State, any>} */
  const read = new Map();
  drawn.current = read;
  useEffect(() => {
    const look = () => {
      if ([...drawn.current].some(([name, was]) => state[name] !== was)) again((n) => n + 1);
    };
    look();
    return subscribe(look);
  }, []);
  return new Proxy(state, {
    get(of, /** @type {keyof State} */ name) {
      read.set(name, of[name]);
      return of[name];
    },
  });
}

/** What is picked of the store: its part is drawn anew only when one of these is another. For what stands on a screen
 * by the hundred.
 * @template {any[]} Of @param {(now: State) => Of} pick @returns {Of} */
export function usePicked(pick) {
  const [, again] = useState(0);
  const drawn = useRef(/** @type {any} */ (null));
  drawn.current = { pick, of: pick(state) };
  useEffect(() => {
    const look = () => {
      const now = drawn.current.pick(state);
      const other = (/** @type {any} */ one, /** @type {number} */ n) => one !== drawn.current.of[n];
      if (now.some(other)) again((n) => n + 1);
    };
    look();
    return subscribe(look);
  }, []);
  return drawn.current.of;
}

/** Say a sentence once, in the live region. @param {string} sentence */
export function say(sentence) {
  update(() => ({ said: sentence }));
}

/** Often enough for "late" to be true. */
const EVERY_MS = 15000;

/** The moment, by the server's clock as far as we know it. A skew too small to correct entries by is still added when
 * this clock is behind: a dose that another person gave this very minute must not seem to lie in the future.
 * @returns {number} ms */
export function useNow() {
  const [skew_s] = usePicked((now) => [now.skew_s]);
  const [, again] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => again((n) => n + 1), EVERY_MS);
    return () => clearInterval(timer);
  }, []);
  return Date.now() + (skewMs(skew_s) || Math.max(0, skew_s * 1000));
}

/** The released version of this app, sent with every call so that a server knows what it talks to. */
export const APP_VERSION = "0.1.0";
