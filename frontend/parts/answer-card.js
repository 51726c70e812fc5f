// A reading with its answer: word and shape first, colour third. Act now stands wide and open, with what to do first.
import { html, classes } from "../ui.js";
import { when } from "../formats.js";
import { Icon } from "./icons.js";
import { Workings } from "./workings.js";
import { waterWords } from "../words/water-words.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Answer} Answer */

/**
 * @typedef {object} Answered   a number as its card shows it
 * @property {string} key
 * @property {string} label
 * @property {string} where     "" for the pond itself
 * @property {string} value     in the keeper's unit
 * @property {string} unit
 * @property {string} also      the same in the other unit
 * @property {string} at
 * @property {Answer|null} answer   null: nobody judges it
 * @property {string} said      the answer in words
 * @property {boolean} emergency
 * @property {string} why
 * @property {string[]} first
 * @property {string[]} cautions
 * @property {import("../domain/types.js").Workings|null} workings
 */

/** @param {{answer: Answer, said?: string}} props */
export function Say({ answer, said = waterWords.answers[answer] }) {
  return html`<p class=${classes("say", answer)}><${Icon} name=${answer} />${said}</p>`;
}

/** What to do first, each with its caution. @param {{first: string[], cautions: string[]}} props */
export function FirstThings({ first, cautions }) {
  return html`${first.length > 0 && html`<ol class="first-things" aria-label=${waterWords.first}>
      ${first.map((line) => html`<li key=${line}>${line}</li>`)}</ol>`}
    ${cautions.map((line) => html`<p class="caution" key=${line}>${line}</p>`)}`;
}

/** @param {{one: Answered, zone: string, now_ms: number}} props */
export function AnswerCard({ one, zone, now_ms }) {
  const said = one.emergency ? waterWords.at_once : one.said;
  const head = html`<span class="of"><b>${one.label}</b>${" "}<span>${when(one.at, zone, now_ms)}</span></span>
    ${one.where && html`<span class="where">${one.where}</span>`}
    <span class="value"><b>${one.value}</b>${" "}<span class="unit">${one.unit}</span></span>
    ${one.also && html`<span class="where">${one.also}</span>`}
    ${one.answer && html`<span class=${classes("say", one.answer)}><${Icon} name=${one.answer} />${said}</span>`}`;
  if (one.answer === "act_now") {
    return html`<li class=${classes("answer-card act", one.emergency && "at-once")}><p class="answer-head">${head}</p>
      <${FirstThings} first=${one.first} cautions=${one.cautions} />
      ${one.why && html`<p class="quiet">${one.why}</p>`}
      <${Workings} workings=${one.workings} /></li>`;
  }
  if (!one.why && !one.workings) return html`<li class="answer-card"><p class="answer-head">${head}</p></li>`;
  return html`<li class="answer-card"><details><summary class="answer-head">${head}</summary>
    <p class="quiet">${one.why}</p><${Workings} workings=${one.workings} /></details></li>`;
}
