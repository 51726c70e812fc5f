// A job, open, for somebody who has never done it: a picture, how much, how one knows it is right, one button. What is
// held back is final here: there is no other amount, and no way around.
import { html, classes, useEffect, useRef, useState } from "../ui.js";
import { helperWords } from "../words/helper-words.js";
import { roundWords } from "../words/round-words.js";
import { usePhotosOf } from "./after-photo.js";
import { NumberField } from "./fields.js";
import { HelperPicture } from "./helper-picture.js";
import { useKeptHeight } from "./job-card.js";
import { ReasonForm } from "./job-forms.js";
import { howMuch, isStopped, saysItself, stoppedWord, whenWords } from "./job-line.js";
import { PhotoField } from "./photo-field.js";
import { useHalfTyped } from "../router.js";
import { latenessKind } from "../domain/late.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Job} Job */
/** @typedef {import("../domain/today.js").JobNow} JobNow */

/**
 * @typedef {object} HelperActs
 * @property {(photos: string[]) => void} tick
 * @property {(reason: string, photos: string[]) => void} notDone
 * @property {(text: string, photos: string[]) => void} note
 * @property {(text: string, name: string) => void} type   of an asked reading
 *
 * @typedef {{text: string, amount_g: number|null, feed_g: number|null, takeBack: (() => void)|null}} HelperSettled
 */

/** @param {{job: Job, now: JobNow, zone: string, now_ms: number, pond_name: string, acts: HelperActs,
 *   given: string[], asked: import("../pages/round/round-asked.js").Asked[], settled: HelperSettled|null}} props */
export function HelperCard({ job, now, zone, now_ms, pond_name, acts, given, asked, settled }) {
  const [panel, show] = useState("");
  const [tried, attempt] = useState(false);
  const pressed = useRef(false);
  const answered = settled !== null;
  const [photos, attach] = usePhotosOf(answered, (late) => acts.note(roundWords.photo, late));
  const card = useKeptHeight(answered);
  const stopped = isStopped(now);
  const much = howMuch(job, settled?.amount_g ?? now.amount_g ?? job.amount_g, settled?.feed_g);
  const late = now.state === "late" && latenessKind(job, now_ms);
  useHalfTyped(photos.length > 0);
  useEffect(() => {
    if (answered) show("");
  }, [answered]);
  // A touch that began before this card opened is not meant for it. A keyboard has no such past.
  const guarded = (/** @type {MouseEvent} */ event) => {
    attempt(true);
    if ((event.detail === 0 || pressed.current) && !asked.some((one) => one.wrong)) acts.tick(photos);
    pressed.current = false;
  };
  return html`<article ref=${card} class=${classes("job-card helper-card", stopped && "stopped", answered && "settled")}
    aria-label=${job.text} onPointerDown=${() => { pressed.current = true; }}>
    <header><h3>${job.text}${pond_name && html` <span class="quiet">${pond_name}</span>`}</h3>
      <span class=${classes("by", now.state, late)}>${whenWords(job, now.state, zone, now_ms)}</span></header>
    ${job.picture && html`<${HelperPicture} sum=${job.picture} of=${job.text} />`}
    ${stopped && !answered ? html`<${Stopped} now=${now} given=${given} />`
      : html`${much.big && html`<p class="amount"><b>${much.big}</b> <span>${much.small}</span></p>`}
        ${job.bag && html`<p class="why">${now.reason}</p>`}
        ${job.how && html`<div class="right"><h4>${helperWords.right}</h4><p>${job.how}</p></div>`}
        ${job.cautions.map((line) => html`<p class="caution" key=${line}>${line}</p>`)}
        ${!answered && asked.map((one) => html`<${NumberField} ...${one.known} key=${one.name} label=${one.label}
          text=${one.text} start=${one.start} error=${tried || one.text.length > 1 ? one.wrong : ""} hint=${one.hint}
          onText=${(/** @type {string} */ text) => acts.type(text, one.name)} />`)}
        ${answered ? html`<p class="wide-button is-done">${settled.text}</p>`
          : html`<button type="button" class="wide-button" onClick=${guarded}>${helperWords.done}</button>`}`}
    ${answered ? settled.takeBack && html`<div class="quiet-line"><button type="button" class="text-button"
        aria-label=${`${words.card.take_back}: ${job.text}`}
        onClick=${settled.takeBack}>${words.card.take_back}</button></div>`
      : html`<${Ways} stopped=${stopped} panel=${panel} show=${show} />
        <${Panel} name=${panel} photos=${photos} acts=${acts} onClose=${() => show("")} />
        ${(panel === "photo" || photos.length > 0) && html`<${PhotoField} sums=${photos} onChange=${attach} />`}`}
  </article>`;
}

/** @param {{now: JobNow, given: string[]}} props */
function Stopped({ now, given }) {
  return html`${!saysItself(now) && html`<p class="stopped-word">${stoppedWord(now)}</p>`}
    <p class="why">${now.reason}</p>
    ${given.map((line) => html`<p class="given" key=${line}>${line}</p>`)}
    ${now.state !== "stood_down" && html`<p class="why">
      ${now.state === "held_back" ? helperWords.final : helperWords.ask}</p>`}`;
}

/** @param {{stopped: boolean, panel: string, show: (panel: string) => void}} props */
function Ways({ stopped, panel, show }) {
  const { could_not, photo, note } = helperWords;
  const ways = Object.entries(stopped ? { note } : { could_not, photo, note });
  return html`<div class="quiet-line">${ways.map(([name, text]) => html`<button key=${name} type="button"
    class="text-button" aria-expanded=${panel === name}
    onClick=${() => show(panel === name ? "" : name)}>${text}</button>`)}</div>`;
}

/** @param {{name: string, photos: string[], acts: HelperActs, onClose: () => void}} props */
function Panel({ name, photos, acts, onClose }) {
  if (name === "could_not") {
    return html`<${ReasonForm} label=${helperWords.could_not_why} picks=${helperWords.could_not_reasons}
        onCancel=${onClose} onSave=${(/** @type {string} */ why) => acts.notDone(why, photos)} />
      <p class="quiet">${helperWords.could_not_more}</p>`;
  }
  if (name !== "note") return null;
  return html`<${ReasonForm} label=${words.card.note_text} lines=${3} onCancel=${onClose}
    onSave=${(/** @type {string} */ text) => {
      acts.note(text, photos);
      onClose();
    }} />`;
}
