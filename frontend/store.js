// What the screen shows, in one plain object. Changes are pure: update() takes a function from
// the old state to the new one, and never edits in place.
import { useEffect, useState } from "./ui.js";

/** @typedef {import("./domain/types.js").Seen} Seen */
/** @typedef {import("./domain/types.js").Plan} Plan */

/**
 * @typedef {object} State
 * @property {boolean} ready                       the local database has been read
 * @property {"unknown"|"first_start"|"sign_in"|"signed_in"} access   what the server last said
 * @property {{needs_code: boolean, example: boolean}} start
 * @property {{id: string, name: string}|null} person   who works this device, also without signal
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
 * @property {string} said                         last sentence for the live region
 * @property {Record<string, string>} drafts      readings typed on cards and not saved, by job id
 * @property {string|null} pond                    the pond chosen for readings and notes
 */

/** @type {State} */
let state = {
  ready: false, access: "unknown", start: { needs_code: false, example: false }, person: null, device: "",
  seen: new Map(), waiting: new Set(), deferred: new Set(), set_aside: [], plan: null, skew_s: 0,
  last_sync_at: null, sync: "idle", problem: null, unstored: 0, trouble: null, update_ready: false, said: "", drafts: {}, pond: null,
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
export function subscribe(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** The one hook that reads the store.
 * @returns {State} */
export function useStore() {
  const [shown, show] = useState(state);
  useEffect(() => {
    show(state);
    return subscribe(() => show(state));
  }, []);
  return shown;
}

/** Say a sentence once, in the live region. @param {string} sentence */
export function say(sentence) {
  update(() => ({ said: sentence }));
}
