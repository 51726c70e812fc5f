// A job in few words: on one quiet line while it is shut or to come, on another once it is answered; and the words a
// card and its line share.
import { html, classes, useState } from "../ui.js";
import { civilDate } from "../domain/civil.js";
import { latenessKind } from "../domain/late.js";
import { amount, clock, dayAndMonth, dayParts, number, when } from "../formats.js";
import { roundWords } from "../words/round-words.js";
import { words } from "../words.js";
import { AfterPhoto } from "./after-photo.js";
import { EatenLine } from "./job-forms.js";
import { PhotoStrip } from "./photo-strip.js";

/** @typedef {import("../domain/types.js").Job} Job */
/** @typedef {import("../domain/today.js").JobNow} JobNow */
/** @typedef {{amount_g?: number, feed_g?: number, appetite?: string, override_reason?: string,
 *   photos?: string[]}} Extra   of a tick */

/** "21:00" today, "Sat" within the week, "12 Dec" beyond. @param {string} at @param {string} zone
 * @param {number} now_ms */
export function untilWords(at, zone, now_ms) {
  const [then, today] = [civilDate(zone, Date.parse(at)), civilDate(zone, now_ms)];
  if (then === today) return clock(at, zone);
  return Date.parse(at) - now_ms < 6 * 86400000 ? dayParts(then).weekday : dayAndMonth(then);
}

/** "by 17:40", "late since 17:40", "can wait until Sat", "from 21:00".
 * @param {Job} job @param {JobNow["state"]} state @param {string} zone @param {number} now_ms */
export function whenWords(job, state, zone, now_ms) {
  if (state === "upcoming") return words.round.from(clock(job.opens_at, zone));
  if (state === "lapsed") return words.round.lapsed(clock(job.closes_at, zone));
  if (state !== "late") return words.round.by(clock(job.closes_at, zone));
  const kind = latenessKind(job, now_ms);
  if (kind === "can_wait") return roundWords.waits(untilWords(job.waits_until ?? "", zone, now_ms));
  const since = when(job.closes_at, zone, now_ms);
  return kind === "matters" ? roundWords.matters(since) : roundWords.late(since);
}

/** How much, as big and small words; both empty for a job without an amount.
 * @param {Job} job @param {number|null} amount_g @param {number|null|undefined} [feed_g]
 * @returns {{big: string, small: string}} */
export function howMuch(job, amount_g, feed_g = job.feed_g) {
  if (job.bag) return { big: roundWords.bag(job.bag), small: `${number(feed_g ?? amount_g ?? 0, 0)} g` };
  if (job.shape === "dose" && amount_g) return amount(amount_g, job.chart?.capful_g ?? null);
  if (job.shape === "setting" && job.setting_c !== null) return { big: `${number(job.setting_c)} °C`, small: "" };
  if (job.shape === "feed" && feed_g) return { big: `${number(feed_g, 0)} g`, small: job.amount ?? "" };
  return { big: job.amount ?? "", small: "" };
}

/** @param {JobNow} now */
export function isStopped(now) {
  return now.state === "held_back" || now.state === "stood_down" || now.state === "not_known";
}

/** @param {JobNow} now */
export function stoppedWord(now) {
  if (now.state === "not_known") return roundWords.not_known;
  return now.state === "held_back" ? words.card.held_back : words.card.stood_down;
}

/** Where the rule comes from that holds a job back: the plan's, or what goes on at the pond, which the plan knew
 * nothing of. @param {Job} job @param {JobNow} now @returns {string} */
export function heldSource(job, now) {
  if (now.state !== "held_back") return "";
  return job.state === "held_back" || now.given_g !== null ? job.source ?? "" : roundWords.practice;
}

/** A reason that begins with the word says it once. @param {JobNow} now */
export function saysItself(now) {
  return now.reason.toLowerCase().startsWith(stoppedWord(now));
}

/** "held back: KH has risen enough" @param {JobNow} now */
function stoppedLine(now) {
  return saysItself(now) ? now.reason : `${stoppedWord(now)}: ${now.reason}`;
}

/** @param {{job: Job, pond_name: string, whose: string}} props */
function What({ job, pond_name, whose }) {
  const more = [pond_name, whose].filter(Boolean).join(" · ");
  return html`<span class="what">${job.text}${more && html` <span class="quiet">${more}</span>`}</span>`;
}

/** @param {{job: Job, now: JobNow, zone: string, now_ms: number, pond_name: string, whose: string,
 *   onOpen: (() => void)|null}} props */
export function JobLine({ job, now, zone, now_ms, pond_name, whose, onOpen }) {
  // A setting stands in the job's own words already.
  const { big } = job.shape === "setting" ? { big: "" } : howMuch(job, now.amount_g);
  const small = isStopped(now) ? stoppedLine(now)
    : [big, whenWords(job, now.state, zone, now_ms)].filter(Boolean).join(" · ");
  const late = now.state === "late" && latenessKind(job, now_ms);
  const inside = html`<${What} job=${job} pond_name=${pond_name} whose=${whose} />
    <span class=${classes("line-more", now.state, late)}>${small}</span>`;
  if (!onOpen) return html`<div class="job-line">${inside}</div>`;
  return html`<button type="button" class="job-line opens" aria-expanded="false" onClick=${onOpen}>${inside}</button>`;
}

/**
 * @typedef {object} AnswerLine   one tick or "not done" about a job
 * @property {string} id
 * @property {string} text        "2½ capfuls · 17:05"
 * @property {(() => void)|null} takeBack
 */

/** What is left of the food shows after a while. @param {{of: string, onEaten: (eaten: string) => void}} props */
function AfterEaten({ of, onEaten }) {
  const [open, show] = useState(false);
  return html`<button type="button" class="text-button" aria-expanded=${open ? "true" : "false"}
      aria-label=${`${roundWords.eaten_how}: ${of}`} onClick=${() => show(!open)}>${roundWords.eaten}</button>
    ${open && html`<${EatenLine} onPick=${onEaten} />`}`;
}

/** `photos` go with its answers; `onPhotos` records those taken afterwards, null on a day gone by; `onEaten` how much
 * of the food was eaten, null where that is known or long past.
 * @param {{job: Job, pond_name: string, answers: AnswerLine[], twice: string, photos: string[],
 *   onPhotos: ((sums: string[]) => void)|null, onEaten: ((eaten: string) => void)|null}} props */
export function DoneLine({ job, pond_name, answers, twice, photos, onPhotos, onEaten }) {
  const named = (/** @type {string} */ text) => `${words.card.take_back}: ${job.text}, ${text}`;
  return html`<div class="job-line done">
    <${What} job=${job} pond_name=${pond_name} whose="" />
    ${answers.map((answer) => html`<span class="answer" key=${answer.id}>
      <span class="line-more">${answer.text}</span>
      ${answer.takeBack && html`<button type="button" class="text-button" onClick=${answer.takeBack}
        aria-label=${named(answer.text)}>${words.card.take_back}</button>`}</span>`)}
    ${twice && html`<span class="twice">${twice}</span>`}
    ${onEaten && html`<${AfterEaten} of=${job.text} onEaten=${onEaten} />`}
    ${onPhotos && html`<${AfterPhoto} of=${job.text} onSave=${onPhotos} />`}
    <${PhotoStrip} sums=${photos} />
  </div>`;
}
