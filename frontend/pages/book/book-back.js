// What is older than this device holds, fetched from home a page at a time while somebody looks. It stays on the screen
// and is not kept.
import { useEffect, useMemo, useRef, useState } from "../../ui.js";
import { addDays } from "../../domain/civil.js";
import { placed } from "../../domain/fold.js";
import { KEEP_DAYS } from "../../offline/apply.js";
import { ask } from "../../offline/server.js";
import { useStore } from "../../store.js";
import { FILES } from "./book-sought.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/search.js").Sought} Sought */
/** @typedef {import("../../offline/server.js").Answer} Answer */

/**
 * @typedef {object} Back
 * @property {Seen[]} entries       newest first
 * @property {Seen[]} about         what take backs among them name
 * @property {Set<string>} gone     those of them that are taken back
 * @property {string|null} next     where to go on; null at the end
 * @property {string|null} back_to  the day down to which was looked
 * @property {boolean} begun
 */

/** @type {Back} */
const NOTHING = { entries: [], about: [], gone: new Set(), next: null, back_to: null, begun: false };
/** Calls in a row that may find nothing before somebody is asked again. */
const MOST_CALLS = 8;
/** What only home can have is asked for by itself, once nothing more is typed. */
const TYPING_MS = 400;

/** The first day of which this device holds everything; null while it has never reached home.
 * @param {string|null} last_sync_at */
function heldSince(last_sync_at) {
  return last_sync_at && addDays(last_sync_at.slice(0, 10), 1 - KEEP_DAYS);
}

/** @param {Sought} sought @param {string} held @returns {boolean} whether all of it is on this device */
export function isAllHere(sought, held) {
  return sought.group !== FILES && sought.since >= held;
}

/** @param {Sought} sought @param {string} held @returns {boolean} whether nothing of it can be on this device */
function isNoneHere(sought, held) {
  return sought.group === FILES || (sought.until !== "" && sought.until < held);
}

/** @param {Sought} sought */
export function useBack(sought) {
  const { last_sync_at } = useStore();
  // The day it counts from stays while the page is open: what home told is older than that.
  const held = useMemo(() => heldSince(last_sync_at), [last_sync_at === null]);
  const [back, keep] = useState(NOTHING);
  const [busy, work] = useState(false);
  const [failed, fail] = useState(/** @type {Extract<Answer, {ok: false}>|null} */ (null));
  const key = JSON.stringify(sought);
  const now = useRef(key);
  const latest = useRef(async () => {});
  useEffect(() => {
    now.current = key;
    keep(NOTHING);
    fail(null);
    work(false);
    if (!held || !isNoneHere(sought, held)) return undefined;
    const timer = setTimeout(() => latest.current(), TYPING_MS);
    return () => clearTimeout(timer);
  }, [key]);
  const more = async () => {
    if (!held) return;
    work(true);
    let here = back;
    /** @type {Answer|null} */
    let answer = null;
    for (let calls = 0; calls < MOST_CALLS; calls += 1) {
      answer = await ask("GET", `/api/book?${paramsOf(sought, held, here.next)}`, undefined, isPage);
      if (now.current !== key || !answer.ok) break;
      here = joined(here, answer.data);
      keep(here);
      if (answer.data.entries.length > 0 || !here.next) break;
    }
    if (now.current !== key) return;
    fail(answer && !answer.ok ? answer : null);
    work(false);
  };
  latest.current = more;
  return { held, back, busy, failed, more };
}

/** @param {Sought} sought @param {string} held @param {string|null} next */
function paramsOf({ group, until, ...sought }, held, next) {
  const before_held = addDays(held, -1);
  const of_files = group === FILES;
  const last = of_files || (until && until < before_held) ? until : before_held;
  const told = { ...sought, group: of_files ? "" : group, until: last, of_files: of_files ? "true" : "",
    before: next ?? "" };
  return new URLSearchParams(Object.entries(told).filter(([, value]) => value.trim()));
}

/** @param {Back} back @param {any} page @returns {Back} */
function joined(back, page) {
  const gone = page.entries.filter((one) => one.taken_back).map((one) => one.entry.id);
  return {
    entries: [...back.entries, ...page.entries.map(placed)], about: [...back.about, ...page.about.map(placed)],
    gone: new Set([...back.gone, ...gone]), next: page.next, back_to: page.back_to ?? back.back_to, begun: true,
  };
}

/** @param {any} data */
function isPage(data) {
  return Array.isArray(data?.entries) && Array.isArray(data.about)
    && (data.next === null || typeof data.next === "string");
}
