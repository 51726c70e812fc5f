// A job, closed: one quiet line. One that is to be done opens; one that is done can be taken back here.
import { html, classes } from "../ui.js";
import { words } from "../words.js";
import { howMuch, whenWords } from "./job-card.js";

/** @typedef {import("../domain/types.js").Job} Job */
/** @typedef {import("../domain/today.js").JobNow} JobNow */

/** @param {{job: Job, now: JobNow, zone: string, pond_name: string, onOpen: (() => void)|null}} props */
export function JobLine({ job, now, zone, pond_name, onOpen }) {
  // A setting stands in the job's own words already.
  const { big } = job.shape === "setting" ? { big: "" } : howMuch(job, now.amount_g);
  const stopped = now.state === "held_back" || now.state === "stood_down";
  const small = stopped
    ? `${now.state === "held_back" ? words.card.held_back : words.card.stood_down}: ${now.reason}`
    : [big, whenWords(job, now.state, zone)].filter(Boolean).join(" · ");
  const inside = html`<span class="what">${job.text}${pond_name && html` <span class="quiet">${pond_name}</span>`}</span>
    <span class=${classes("line-more", now.state)}>${small}</span>`;
  if (!onOpen) return html`<div class="job-line">${inside}</div>`;
  return html`<button type="button" class="job-line opens" aria-expanded="false" onClick=${onOpen}>${inside}</button>`;
}

/**
 * @typedef {object} AnswerLine   one tick or "not done" about a job
 * @property {string} id
 * @property {string} text        "2½ capfuls · 17:05"
 * @property {() => void} takeBack
 */

/** @param {{job: Job, pond_name: string, answers: AnswerLine[], twice: string}} props */
export function DoneLine({ job, pond_name, answers, twice }) {
  return html`<div class="job-line done">
    <span class="what">${job.text}${pond_name && html` <span class="quiet">${pond_name}</span>`}</span>
    ${answers.map((answer) => html`<span class="answer" key=${answer.id}>
      <span class="line-more">${answer.text}</span>
      <button type="button" class="text-button" aria-label=${`${words.card.take_back}: ${job.text}, ${answer.text}`}
        onClick=${answer.takeBack}>${words.card.take_back}</button></span>`)}
    ${twice && html`<span class="twice">${twice}</span>`}
  </div>`;
}
