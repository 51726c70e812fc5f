// A job, open: what to do, how much, why, one wide button; under it one quiet line of other ways.
import { html, classes, useEffect, useLayoutEffect, useRef, useState } from "../ui.js";
import { charted } from "../domain/today.js";
import { amount, clock, number, parsed } from "../formats.js";
import { NumberField, rangeError } from "./fields.js";
import { AmountForm, ReasonForm } from "./job-forms.js";
import { Workings } from "./workings.js";
import { shownNumber, toStored } from "../units.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Job} Job */
/** @typedef {import("../domain/today.js").JobNow} JobNow */

/**
 * @typedef {object} JobActs                what a card can ask for
 * @property {(extra?: {amount_g?: number, override_reason?: string}) => void} tick
 * @property {(reason: string) => void} notDone
 * @property {(text: string) => void} note
 * @property {() => void} saveReading
 * @property {(text: string) => void} type
 *
 * @typedef {object} CardReading            the reading the card asks for
 * @property {string} text                  as typed, or as last saved today
 * @property {boolean} dirty                typed and not saved
 * @property {string} hint
 * @property {boolean} governs             the amount follows from it and not from the plan
 * @property {number} start                 where − and + begin
 * @property {import("../units.js").Shown} quantity
 */

/** "by 17:40", "late since 17:40", "from 21:00".
 * @param {Job} job @param {JobNow["state"]} state @param {string} zone */
export function whenWords(job, state, zone) {
  if (state === "upcoming") return words.round.from(clock(job.opens_at, zone));
  if (state === "lapsed") return words.round.lapsed(clock(job.closes_at, zone));
  if (state === "late") return words.round.late(clock(job.closes_at, zone));
  return words.round.by(clock(job.closes_at, zone));
}

/** How much, as big and small words; both empty for a job without an amount.
 * @param {Job} job @param {number|null} amount_g @returns {{big: string, small: string}} */
export function howMuch(job, amount_g) {
  if (job.shape === "dose" && amount_g) return amount(amount_g, job.chart?.capful_g ?? null);
  if (job.shape === "setting" && job.setting_c !== null) return { big: `${number(job.setting_c)} °C`, small: "" };
  return { big: "", small: "" };
}

const BUTTON = { dose: words.card.given, setting: words.card.set, plain: words.card.done };

/**
 * @param {{job: Job, now: JobNow, zone: string, reading: CardReading|null, acts: JobActs, given: string[],
 *   settled: {text: string, amount_g: number|null, takeBack: () => void}|null, pond_name: string}} props
 *   `settled`: just answered; it keeps its place until the hand is off the screen
 */
export function JobCard({ job, now, zone, reading, acts, given, settled, pond_name }) {
  const [panel, show] = useState("");
  const [tried, attempt] = useState(false);
  const pressed = useRef(false);
  const card = useKeptHeight(Boolean(settled));
  const wrong = reading?.dirty && reading.text ? rangeError(reading.text, reading.quantity) : "";
  // The first digit of a number is no mistake yet.
  const error = tried || (reading && reading.text.length > 1) ? wrong : "";
  const much = howMuch(job, settled ? settled.amount_g : now.amount_g);
  const typedValue = reading && !rangeError(reading.text, reading.quantity)
    ? toStored(reading.quantity, parsed(reading.text)) : null;
  const stopped = now.state === "held_back" || now.state === "stood_down";
  const close = () => show("");
  const answered = settled !== null;
  useEffect(() => {
    if (answered) show("");
  }, [answered]);
  /** A value that cannot be stops whatever would record it. @param {() => void} act */
  const unlessWrong = (act) => {
    attempt(true);
    if (!wrong) act();
  };
  // A touch that began before this card opened is not meant for it. A keyboard has no such past.
  const guarded = (event) => {
    if (event.detail === 0 || pressed.current) unlessWrong(acts.tick);
    pressed.current = false;
  };
  return html`<article ref=${card} class=${classes("job-card", stopped && "stopped", settled && "settled")}
    aria-label=${job.text} onPointerDown=${() => { pressed.current = true; }}>
    <header><h3>${job.text}${pond_name && html` <span class="quiet">${pond_name}</span>`}</h3>
      <span class=${classes("by", now.state)}>${whenWords(job, now.state, zone)}</span></header>
    ${reading && html`<${NumberField} ...${reading.quantity} text=${reading.text} start=${reading.start} error=${error}
      onText=${acts.type} onEnter=${() => unlessWrong(acts.saveReading)} disabled=${Boolean(settled)}
      hint=${reading.dirty && typedValue !== null
        ? html`<button type="button" class="text-button"
            onClick=${acts.saveReading}>${words.card.save_reading}</button>` : reading.hint} />`}
    ${stopped && !settled && html`<p class="stopped-word">${stoppedWord(now)}</p>`}
    ${much.big && html`<p class="amount"><b>${much.big}</b> <span>${much.small}</span></p>`}
    <p class="why">${reading?.governs && !stopped ? words.card.by_reading : now.reason}
      ${" "}${tomorrowWords(job, typedValue, reading?.quantity, stopped)}</p>
    ${given.map((line) => html`<p class="given" key=${line}>${line}</p>`)}
    ${!stopped && job.cautions.map((line) => html`<p class="caution" key=${line}>${line}</p>`)}
    ${settled ? html`<p class="wide-button is-done">${settled.text}</p>` : !stopped && html`<button type="button"
      class="wide-button" onClick=${guarded}>${BUTTON[job.shape]}</button>`}
    ${settled ? html`<div class="quiet-line"><button type="button" class="text-button" onClick=${settled.takeBack}
        aria-label=${`${words.card.take_back}: ${job.text}`}>${words.card.take_back}</button></div>`
      : html`<${QuietLine} job=${job} stopped=${stopped} now=${now} panel=${panel} show=${show} />`}
    ${panel === "amount" && html`<${AmountForm} capful_g=${job.chart?.capful_g ?? null} amount_g=${now.amount_g}
      limit_g=${job.limit_g_24h} reason=${stopped} onCancel=${close}
      onSave=${(amount_g, why) =>
        unlessWrong(() => acts.tick(stopped ? { amount_g, override_reason: why } : { amount_g }))} />`}
    ${panel === "override" && html`<${ReasonForm} label=${words.card.override_why} onCancel=${close}
      onSave=${(why) => unlessWrong(() => acts.tick({ override_reason: why }))} />`}
    ${panel === "not_done" && html`<${ReasonForm} label=${words.card.not_done_why} picks=${words.card.not_done_reasons}
      onCancel=${close} onSave=${acts.notDone} />`}
    ${panel === "note" && html`<${ReasonForm} label=${words.card.note_text} lines=${3} onCancel=${close}
      onSave=${(text) => { acts.note(text); close(); }} />`}
    ${!stopped && job.how && html`<p class="how quiet">${job.how}</p>`}
    <${Workings} workings=${job.workings} />
  </article>`;
}

/** A card just answered stays as tall as it was, so that nothing below it moves under the hand.
 * @param {boolean} settled */
function useKeptHeight(settled) {
  const card = useRef(/** @type {HTMLElement|null} */ (null));
  const height = useRef(0);
  useLayoutEffect(() => {
    if (!card.current) return;
    if (!settled) height.current = card.current.offsetHeight;
    // Written only when it changes: each writing between two readings costs the page a layout.
    const wanted = settled ? `${height.current}px` : "";
    if (card.current.style.minHeight !== wanted) card.current.style.minHeight = wanted;
  });
  return card;
}

/** @param {JobNow} now */
function stoppedWord(now) {
  return now.state === "held_back" ? words.card.held_back : words.card.stood_down;
}

/** @param {{job: Job, pond_name: string}} props */
function What({ job, pond_name }) {
  return html`<span class="what">${job.text}${pond_name && html` <span class="quiet">${pond_name}</span>`}</span>`;
}

/** What the chart expects tomorrow at the reading on the card, or what the plan expects without one.
 * @param {Job} job @param {number|null} value stored @param {import("../units.js").Shown|undefined} known
 * @param {boolean} stopped */
function tomorrowWords(job, value, known, stopped) {
  if (stopped || !job.chart || !known) return "";
  const band = value === null ? job.tomorrow : [charted(job.chart, value, 2), charted(job.chart, value, 3)];
  return band ? words.card.tomorrow(tenth(known, band[0]), tenth(known, band[1]), known.unit) : "";
}

/** @param {import("../units.js").Shown} known @param {number} value stored */
function tenth(known, value) {
  return known.per === 1 ? number(value, 1) : shownNumber(known, value);
}

/** @param {{job: Job, stopped: boolean, now: JobNow, panel: string, show: (panel: string) => void}} props */
function QuietLine({ job, stopped, now, panel, show }) {
  /** @type {[string, string][]} */
  const ways = [["not_done", words.card.not_done], ["note", words.card.note]];
  // Without a weight or a volume there is no amount to take responsibility for.
  if (job.shape !== "dose" && stopped) ways.unshift(["override", words.card.override]);
  if (job.shape === "dose" && job.chart) {
    ways.unshift(["amount", stopped ? words.card.override : words.card.other_amount]);
  }
  return html`<div class="quiet-line">${ways.map(([name, text]) => html`<button key=${name} type="button"
    class="text-button" aria-expanded=${panel === name}
    onClick=${() => show(panel === name ? "" : name)}>${text}</button>`)}</div>`;
}


/** @param {{job: Job, now: JobNow, zone: string, pond_name: string, onOpen: (() => void)|null}} props */
export function JobLine({ job, now, zone, pond_name, onOpen }) {
  // A setting stands in the job's own words already.
  const { big } = job.shape === "setting" ? { big: "" } : howMuch(job, now.amount_g);
  const stopped = now.state === "held_back" || now.state === "stood_down";
  const small = stopped
    ? `${stoppedWord(now)}: ${now.reason}`
    : [big, whenWords(job, now.state, zone)].filter(Boolean).join(" · ");
  const inside = html`<${What} job=${job} pond_name=${pond_name} />
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
    <${What} job=${job} pond_name=${pond_name} />
    ${answers.map((answer) => html`<span class="answer" key=${answer.id}>
      <span class="line-more">${answer.text}</span>
      <button type="button" class="text-button" aria-label=${`${words.card.take_back}: ${job.text}, ${answer.text}`}
        onClick=${answer.takeBack}>${words.card.take_back}</button></span>`)}
    ${twice && html`<span class="twice">${twice}</span>`}
  </div>`;
}
