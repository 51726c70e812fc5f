// A job, open: what to do, how much, why, one wide button; under it one quiet line of other ways.
import { html, classes, useEffect, useLayoutEffect, useRef, useState } from "../ui.js";
import { latenessKind } from "../domain/late.js";
import { charted } from "../domain/today.js";
import { number, parsed } from "../formats.js";
import { roundWords } from "../words/round-words.js";
import { usePhotosOf } from "./after-photo.js";
import { NumberField, rangeError } from "./fields.js";
import { AmountForm, EatenLine, ReasonForm } from "./job-forms.js";
import { PhotoField } from "./photo-field.js";
import { PhotoStrip } from "./photo-strip.js";
import { heldSource, howMuch, isStopped, saysItself, stoppedWord, whenWords } from "./job-line.js";
import { Workings } from "./workings.js";
import { useHalfTyped } from "../router.js";
import { shownNumber, toStored } from "../units.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Job} Job */
/** @typedef {import("./job-line.js").Extra} Extra */
/** @typedef {import("../domain/today.js").JobNow} JobNow */

/**
 * @typedef {object} JobActs                what a card can ask for
 * @property {(extra?: Extra) => void} tick
 * @property {(reason: string, photos: string[]) => void} notDone
 * @property {(text: string, photos: string[]) => void} note
 * @property {() => void} saveReading
 * @property {(text: string, name?: string) => void} type   `name`: of an asked reading
 *
 * @typedef {object} CardReading            the reading the card asks for
 * @property {string} text                  as typed, or as last saved today
 * @property {boolean} dirty                typed and not saved
 * @property {string} hint
 * @property {boolean} governs             the amount follows from it and not from the plan
 * @property {number} start                 where − and + begin
 * @property {import("../units.js").Shown} quantity
 *
 * @typedef {{text: string, amount_g: number|null, feed_g: number|null, takeBack: () => void}} Settled
 * @typedef {{pond_name: string, whose: string, kit: string}} CardAbout   each empty where there is nothing to say
 */

/** @type {Record<Job["shape"], string>} */
const BUTTON = { dose: words.card.given, setting: words.card.set, feed: roundWords.fed, plain: words.card.done };

/**
 * @param {{job: Job, now: JobNow, zone: string, now_ms: number, reading: CardReading|null,
 *   asked: import("../pages/round/round-asked.js").Asked[], acts: JobActs, given: string[], settled: Settled|null,
 *   about: CardAbout}} props
 *   `settled`: just answered; it keeps its place until the hand is off the screen
 */
export function JobCard({ job, now, zone, now_ms, reading, asked, acts, given, settled, about }) {
  const [panel, show] = useState("");
  const [tried, attempt] = useState(false);
  const pressed = useRef(false);
  const card = useKeptHeight(Boolean(settled));
  const wrong = reading?.dirty && reading.text ? rangeError(reading.text, reading.quantity) : "";
  // The first digit of a number is no mistake yet.
  const error = tried || (reading && reading.text.length > 1) ? wrong : "";
  const much = settled ? howMuch(job, settled.amount_g, settled.feed_g) : howMuch(job, now.amount_g);
  const typedValue = reading && !rangeError(reading.text, reading.quantity)
    ? toStored(reading.quantity, parsed(reading.text)) : null;
  const stopped = isStopped(now);
  const answered = settled !== null;
  const [photos, attach] = usePhotosOf(answered, (late) => acts.note(roundWords.photo, late));
  useEffect(() => {
    if (answered) show("");
  }, [answered]);
  const tick = (/** @type {Extra} */ extra = {}) => acts.tick({ ...extra, photos });
  const noted = (/** @type {string} */ text) => {
    acts.note(text, photos);
    attach([]);
  };
  /** A value that cannot be stops whatever would record it. @param {() => void} act */
  const unlessWrong = (act) => {
    attempt(true);
    if (!wrong && !asked.some((one) => one.wrong)) act();
  };
  // A touch that began before this card opened is not meant for it. A keyboard has no such past.
  const guarded = (event) => {
    if (event.detail === 0 || pressed.current) unlessWrong(tick);
    pressed.current = false;
  };
  return html`<article ref=${card} class=${classes("job-card", stopped && "stopped", settled && "settled")}
    aria-label=${job.text} onPointerDown=${() => { pressed.current = true; }}>
    <${CardHead} job=${job} now=${now} zone=${zone} now_ms=${now_ms} about=${about} />
    ${job.picture && html`<${PhotoStrip} sums=${[job.picture]} />`}
    ${reading && html`<${NumberField} ...${reading.quantity} text=${reading.text} start=${reading.start} error=${error}
      onText=${acts.type} onEnter=${() => unlessWrong(acts.saveReading)} disabled=${Boolean(settled)}
      hint=${reading.dirty && typedValue !== null
        ? html`<button type="button" class="text-button"
            onClick=${acts.saveReading}>${words.card.save_reading}</button>` : reading.hint} />`}
    ${!settled && asked.map((one) => html`<${NumberField} ...${one.known} key=${one.name} label=${one.label}
      text=${one.text} start=${one.start} error=${tried || one.text.length > 1 ? one.wrong : ""} hint=${one.hint}
      onText=${(/** @type {string} */ text) => acts.type(text, one.name)} />`)}
    ${stopped && !settled && !saysItself(now) && html`<p class="stopped-word">${stoppedWord(now)}</p>`}
    ${much.big && !(stopped && !settled) && html`<p class="amount"><b>${much.big}</b> <span>${much.small}</span></p>`}
    <p class="why">${reading?.governs && !stopped ? words.card.by_reading : now.reason}
      ${" "}${tomorrowWords(job, typedValue, reading?.quantity, stopped)}</p>
    ${heldSource(job, now) && html`<p class="quiet">${words.card.source}: ${heldSource(job, now)}</p>`}
    ${given.map((line) => html`<p class="given" key=${line}>${line}</p>`)}
    ${!stopped && job.cautions.map((line) => html`<p class="caution" key=${line}>${line}</p>`)}
    ${settled ? html`<p class="wide-button is-done">${settled.text}</p>`
      : now.state === "not_known" ? html`<a class="wide-button" href="/water?add">${roundWords.measure}</a>`
      : !stopped && html`<button type="button" class="wide-button" onClick=${guarded}>${BUTTON[job.shape]}</button>`}
    ${settled ? html`<div class="quiet-line"><button type="button" class="text-button" onClick=${settled.takeBack}
        aria-label=${`${words.card.take_back}: ${job.text}`}>${words.card.take_back}</button></div>`
      : html`${(job.feed_g ?? 0) > 0 && !stopped && html`<${EatenLine}
          onPick=${(/** @type {string} */ appetite) => unlessWrong(() => tick({ appetite }))} />`}
        <${QuietLine} job=${job} now=${now} panel=${panel} show=${show} onTick=${tick} />
        <${Panel} name=${panel} job=${job} now=${now} acts=${{ ...acts, tick, note: noted }} unlessWrong=${unlessWrong}
          photos=${photos} onPhotos=${attach} onClose=${() => show("")} />`}
    ${!stopped && job.how && html`<p class="how quiet">${job.how}</p>`}
    <${Workings} workings=${job.workings} />
  </article>`;
}

/** @param {{job: Job, now: JobNow, zone: string, now_ms: number, about: CardAbout}} props */
function CardHead({ job, now, zone, now_ms, about }) {
  const more = [about.pond_name, about.whose, about.kit].filter(Boolean).join(" · ");
  const late = now.state === "late" && latenessKind(job, now_ms);
  return html`<header><h3>${job.text}${more && html` <span class="quiet">${more}</span>`}</h3>
    <span class=${classes("by", now.state, late)}>${whenWords(job, now.state, zone, now_ms)}</span></header>`;
}

/** The small form that one of the ways on the quiet line opens; and photos, in sight until they are recorded with
 * whatever is done next.
 * @param {PanelProps & {photos: string[], onPhotos: (sums: string[]) => void}} props */
function Panel({ photos, onPhotos, ...props }) {
  useHalfTyped(photos.length > 0);
  return html`<${PanelForm} ...${props} photos=${photos} />
    ${(props.name === "photo" || photos.length > 0)
      && html`<${PhotoField} sums=${photos} onChange=${onPhotos} />`}`;
}

/** @typedef {{name: string, job: Job, now: JobNow, acts: JobActs, unlessWrong: (act: () => void) => void,
 *   onClose: () => void}} PanelProps */

/** @param {PanelProps & {photos: string[]}} props */
function PanelForm({ name, job, now, acts, unlessWrong, photos, onClose }) {
  const stopped = isStopped(now);
  const feeds = job.shape === "feed";
  if (name === "amount") {
    const much = (/** @type {number} */ g) => (feeds ? { feed_g: g } : { amount_g: g });
    return html`<${AmountForm} capful_g=${feeds ? null : job.chart?.capful_g ?? null} onCancel=${onClose}
      label=${feeds ? roundWords.grams_fed : null} reason=${stopped}
      amount_g=${feeds ? job.feed_g ?? null : now.amount_g} limit_g=${feeds ? null : job.limit_g_24h}
      onSave=${(g, why) => unlessWrong(() => acts.tick(stopped ? { ...much(g), override_reason: why } : much(g)))} />`;
  }
  if (name === "override") {
    return html`<${ReasonForm} label=${words.card.override_why} onCancel=${onClose}
      onSave=${(why) => unlessWrong(() => acts.tick({ override_reason: why }))} />`;
  }
  if (name === "not_done") {
    return html`<${ReasonForm} label=${words.card.not_done_why} picks=${words.card.not_done_reasons}
      onCancel=${onClose} onSave=${(why) => acts.notDone(why, photos)} />`;
  }
  if (name !== "note") return null;
  return html`<${ReasonForm} label=${words.card.note_text} lines=${3} onCancel=${onClose}
    onSave=${(text) => {
      acts.note(text, photos);
      onClose();
    }} />`;
}

/** A card just answered stays as tall as it was, so that nothing below it moves under the hand.
 * @param {boolean} settled */
export function useKeptHeight(settled) {
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

/** Without a weight or a volume there is no amount to take responsibility for; what is not known forbids nothing.
 * @param {Job} job @param {JobNow} now @returns {[string, string]|null} */
function ownWay(job, now) {
  const stopped = isStopped(now);
  if (job.shape === "feed" || (job.shape === "dose" && job.chart)) {
    return ["amount", stopped ? words.card.override : roundWords.amount];
  }
  if (job.shape === "dose" || !stopped) return null;
  if (now.state === "not_known") return ["tick", roundWords.all_the_same];
  return ["override", words.card.override];
}

/** @param {{job: Job, now: JobNow, panel: string, show: (panel: string) => void, onTick: () => void}} props */
function QuietLine({ job, now, panel, show, onTick }) {
  /** @type {[string, string][]} */
  const ways = [["not_done", words.card.not_done], ["photo", roundWords.photo],
    ["note", words.card.note]];
  const own = ownWay(job, now);
  if (own) ways.unshift(own);
  return html`<div class="quiet-line">${ways.map(([name, text]) => html`<button key=${name} type="button"
    class=${classes("text-button", isStopped(now) && own?.[0] === name && "own-way")} aria-expanded=${panel === name}
    aria-label=${name === "amount" && !isStopped(now) ? words.card.other_amount : undefined}
    onClick=${() => (name === "tick" ? onTick() : show(panel === name ? "" : name))}>${text}</button>`)}</div>`;
}
