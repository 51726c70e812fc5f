// A helper's phone: the link it was bound by, what it keeps for no signal, and what it lets go of when it is over.
//
// - The secret stands in the address's fragment, which no server sees, until this phone is bound; then it is gone from
//   there. What stays is its sum, to know the same link again without asking.
// - Looking at a link binds nothing. Only the tap on "Use this phone" does.
// - What a trial round records never leaves the device (record.js).
import { addDays } from "./domain/civil.js";
import { PLAIN_HAND_OVER, rehearsedOn, stageOf } from "./domain/hand-overs.js";
import { enter, letRoundGo } from "./live.js";
import { writeMeta } from "./offline/local-db.js";
import { ask } from "./offline/server.js";
import { sha256 } from "./offline/sha256.js";
import { get, update } from "./store.js";

/** @typedef {import("./domain/hand-overs.js").HandOver} HandOver */
/** @typedef {import("./store.js").State} State */
/** @typedef {import("./store.js").Helps} Helps */

/** 128 random bits take 22 letters of this alphabet; anything shorter is half a link. */
const SECRET = /^[A-Za-z0-9_-]{20,200}$/;

/** The secret in an address, or in what somebody pasted: "https://…/h#…" or the part behind the #.
 * @param {string} text */
export function secretIn(text) {
  const found = text.trim().split("#").pop() ?? "";
  return SECRET.test(found) ? found : "";
}

/**
 * @typedef {object} Looked   what a link is
 * @property {"open"|"not_yet"|"bound_elsewhere"|"over"|"revoked"} state
 * @property {{id: string, name: string, helper_name: string, keeper_names: string[], begins_on: string|null,
 *   ends_on: string|null}} hand_over
 * @property {boolean} works_offline
 * @property {boolean} [bound_here]   this browser uses it already
 */

/** @param {string} secret @returns {Promise<import("./offline/server.js").Answer>} its data is a Looked */
export function lookAt(secret) {
  return ask("POST", "/api/helper/look", { secret }, (data) => typeof data?.state === "string");
}

/** Whether this phone was bound by that link. @param {string} secret */
export async function isBoundBy(secret) {
  const { helps, person } = get();
  return Boolean(person?.hand_over && helps && helps.sum === await sumOf(secret));
}

/** @param {string} secret */
function sumOf(secret) {
  return sha256(/** @type {ArrayBuffer} */ (new TextEncoder().encode(secret).buffer));
}

/** Make this phone the helper's. What an earlier household left on it goes; what waits to be sent stays.
 * @param {string} secret @param {Looked} looked @returns {Promise<import("./offline/server.js").Answer>} */
export async function bind(secret, looked) {
  const answer = await enter("/api/helper/bind", { secret }, () => letRoundGo(["person", "helps"]).catch(() => {}));
  if (!answer.ok) return answer;
  const { name, keeper_names, begins_on, ends_on } = looked.hand_over;
  await keepHelps({ sum: await sumOf(secret), name, keeper_names, begins_on, ends_on, ring: [] });
  return answer;
}

/** @param {Helps} helps */
async function keepHelps(helps) {
  update(() => ({ helps }));
  await writeMeta({ helps }).catch(() => {});
}

/** The hand-over this phone is for, as the plan has it. @param {State} state @returns {HandOver|null} */
export function handOverOf({ plan, person }) {
  const found = plan?.hand_overs?.find((one) => one.id === person?.hand_over);
  return found ? /** @type {HandOver} */ ({ ...PLAIN_HAND_OVER, ...found }) : null;
}

/** @typedef {"to_come"|"rehearsal"|"runs"|"over"} HelperStage */

/** Where it stands for a helper on that date; without a plan by what the link said.
 * @param {State} state @param {string} today @returns {HelperStage} */
export function helperStage(state, today) {
  const known = handOverOf(state) ?? (state.helps && { ...PLAIN_HAND_OVER, id: "", pond: "", ...state.helps });
  if (!known) return "runs";
  const stage = stageOf({ ...known, called_off: false }, today);
  // Called off before it began; one that is called off while it runs has that day as its last.
  if (stage === "over" || (known.called_off && stage === "to_come")) return "over";
  if (stage === "to_come") return today === rehearsedOn(known) ? "rehearsal" : "to_come";
  return "runs";
}

/** The days to choose from: those to come, and the one to rehearse. @param {State} state @param {string} today */
export function daysAhead({ plan, person }, today) {
  const hand_over = plan && handOverOf({ ...get(), plan, person });
  if (!hand_over?.begins_on || !hand_over.ends_on) return [];
  const trial = rehearsedOn(hand_over);
  const known = new Set(plan?.days.map((day) => day.date));
  const first = today > hand_over.begins_on ? today : hand_over.begins_on;
  const days = trial && trial >= today && trial < hand_over.begins_on ? [trial] : [];
  for (let date = first; date <= hand_over.ends_on; date = addDays(date, 1)) if (known.has(date)) days.push(date);
  return days;
}

/** The link is over or was ended: what the household wrote leaves this phone. What waits to be sent stays, and whom to
 * ring. @param {boolean} shut it was ended */
export async function letGoOfPond(shut) {
  const { plan, helps } = get();
  const { begins_on, ends_on } = handOverOf(get()) ?? helps ?? {};
  const [first, last] = [begins_on ?? null, ends_on ?? null];
  if (helps) await keepHelps({ ...helps, shut, begins_on: first, ends_on: last, ring: plan?.ring ?? helps.ring });
  await letRoundGo([]);
  await globalThis.caches?.delete(PICTURES).catch(() => false);
}

/** Pictures are kept apart from photos this phone took: they are the household's. */
const PICTURES = "pictures";

/** The sums of all pictures a helper may need without signal. @param {State} state */
export function picturesOf(state) {
  const jobs = state.plan?.days.flatMap((day) => day.jobs.map((job) => job.picture)) ?? [];
  const shown = handOverOf(state)?.shown.map((one) => one.photo) ?? [];
  return [...new Set([...shown, ...jobs])].filter((one) => typeof one === "string");
}

/** @param {string} sum */
function addressOf(sum) {
  return `/api/photos/${sum}`;
}

/** Fetch those that are not here yet, one at a time. @param {string[]} sums */
export async function keepPictures(sums) {
  const kept = await globalThis.caches?.open(PICTURES).catch(() => null);
  for (const sum of kept ? sums : []) {
    const there = await kept?.match(addressOf(sum));
    if (there) continue;
    const answer = await fetch(addressOf(sum), { credentials: "same-origin", redirect: "error" }).catch(() => null);
    if (answer?.ok && answer.headers.get("Content-Type")?.startsWith("image/")) await kept?.put(addressOf(sum), answer);
  }
}

/** Where a picture is found: kept here, else at home. An address that begins with "blob:" is to be revoked.
 * @param {string} sum @returns {Promise<string>} */
export async function pictureUrl(sum) {
  const kept = await globalThis.caches?.open(PICTURES).then((one) => one.match(addressOf(sum))).catch(() => null);
  return kept ? URL.createObjectURL(await kept.blob()) : addressOf(sum);
}
