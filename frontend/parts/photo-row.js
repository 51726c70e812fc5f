// Photos in a row, small; a tap opens one large. What this device took shows without signal, others when they can.
import { html, useEffect, useRef, useState } from "../ui.js";
import { when } from "../formats.js";
import { isGone, isOnlyHere, smallUrl, wholeUrl } from "../photos.js";
import { photoWords } from "../words/photo-words.js";
import { zoneOf } from "../record.js";
import { useNow, usePicked, useStore } from "../store.js";
import { errorSentence } from "../words.js";
import { Icon } from "./icons.js";

/** @typedef {import("../offline/photos-db.js").Photo} Photo */

/** `onTakeOut`: a way to take one out again, as long as no entry holds it.
 * @param {{sums: string[], onTakeOut?: (sum: string) => void}} props */
export function PhotoRow({ sums, onTakeOut }) {
  const [photo_problem, ...mine] = usePicked((now) => [now.photo_problem, ...sums.map((sum) => now.photos.get(sum))]);
  const now_ms = useNow();
  const [open, show] = useState(/** @type {number|null} */ (null));
  if (sums.length === 0) return null;
  const names = mine.map((photo, n) => nameOf(photo, n + 1, sums.length, now_ms));
  const waits = photo_problem && mine.some((photo) => photo?.state === "waiting");
  return html`<div class="photo-strip">
    <ul aria-label=${photoWords.label}>${sums.map((sum, n) => html`<li key=${sum}>
      <button type="button" class="photo-thumb" aria-label=${`${names[n]}: ${photoWords.open}`}
        onClick=${() => show(n)}><${Picture} src=${smallUrl(sum)} alt="" /></button>
      ${standing(mine[n]) && html`<span class="quiet">${standing(mine[n])}</span>`}
      ${onTakeOut && html`<button type="button" class="text-button" aria-label=${photoWords.take_out_nth(n + 1)}
        onClick=${() => onTakeOut(sum)}>${photoWords.take_out}</button>`}
    </li>`)}</ul>
    ${waits && html`<p class="quiet">${errorSentence({ why: "refused", problem: photo_problem })}</p>`}
    ${open !== null && html`<${Large} sums=${sums} names=${names} at=${Math.min(open, sums.length - 1)} onAt=${show}
      onClose=${() => show(null)} />`}
  </div>`;
}

/** @param {Photo|undefined} photo @param {number} n @param {number} of @param {number} now_ms */
function nameOf(photo, n, of, now_ms) {
  const taken = photo && photoWords.taken(when(new Date(photo.taken_ms).toISOString(), zoneOf(), now_ms));
  return [photoWords.nth(n, of), taken, standing(photo)].filter(Boolean).join(", ");
}

/** What is still to be said of it. @param {Photo|undefined} photo */
function standing(photo) {
  if (!photo || photo.state === "home") return "";
  if (isOnlyHere(photo.sum)) return photoWords.held;
  if (photo.state === "refused") return isGone(photo) ? photoWords.gone : photoWords.refused;
  return photo.state === "waiting" ? photoWords.waiting : "";
}

/** A picture, or a calm place where it will be. With each call home that succeeded it is tried again.
 * @param {{src: string, alt: string, whole?: boolean, onLoad?: () => void}} props */
export function Picture({ src, alt, whole = false, onLoad }) {
  const [last_sync_at] = usePicked((now) => [now.last_sync_at]);
  const [failed, fail] = useState("");
  const now = `${src} ${last_sync_at}`;
  if (failed === now) return html`<span class="photo-away"><${Icon} name="photo" />
    <span>${whole ? photoWords.away_long : photoWords.away}</span></span>`;
  return html`<img src=${src} alt=${alt} loading=${whole ? "eager" : "lazy"} decoding="async"
    onLoad=${onLoad} onError=${() => fail(now)} />`;
}

/** Where the whole of a photo is found; "" until that is known. @param {string} sum */
export function useWhole(sum) {
  const [url, found] = useState("");
  useEffect(() => {
    let made = "";
    let gone = false;
    wholeUrl(sum).then((one) => {
      made = one;
      if (gone) URL.revokeObjectURL(one);
      else found(one);
    });
    return () => {
      gone = true;
      if (made.startsWith("blob:")) URL.revokeObjectURL(made);
      found("");
    };
  }, [sum]);
  return url;
}

/** One photo, as large as the screen allows.
 * @param {{sums: string[], names: string[], at: number, onAt: (n: number) => void, onClose: () => void}} props */
function Large({ sums, names, at, onAt, onClose }) {
  const { photos } = useStore();
  const dialog = useRef(/** @type {any} */ (null));
  const [drawn, draw] = useState("");
  const sum = sums[at];
  const url = useWhole(sum);
  const photo = photos.get(sum);
  useEffect(() => {
    // The oldest browsers of ours know no dialog; there it is a part of the page.
    if (dialog.current?.showModal) dialog.current.showModal();
    else dialog.current?.setAttribute("open", "");
  }, []);
  const step = (/** @type {number} */ by) => onAt((at + by + sums.length) % sums.length);
  const byKey = (/** @type {KeyboardEvent} */ event) => {
    if (sums.length > 1 && event.key === "ArrowRight") step(1);
    if (sums.length > 1 && event.key === "ArrowLeft") step(-1);
  };
  return html`<dialog ref=${dialog} class="photo-large" aria-label=${names[at]} onClose=${onClose} onKeyDown=${byKey}>
    <figure>${url && html`<${Picture} src=${url} alt=${names[at]} whole=${true}
        onLoad=${() => draw(url)} />`}
      <figcaption>${names[at]}
        ${photo?.state === "refused" && photo.problem && html`<p>${errorSentence({ why: "refused",
          problem: photo.problem })}</p>`}</figcaption></figure>
    <div class="pair">
      ${sums.length > 1 && html`<button type="button" class="plain-button" aria-label=${photoWords.before}
          onClick=${() => step(-1)}><${Icon} name="back" /></button>
        <button type="button" class="plain-button" aria-label=${photoWords.after}
          onClick=${() => step(1)}><${Icon} name="on" /></button>`}
      ${url && drawn === url && html`<a class="plain-button" href=${url} target="_self"
        download=${`${sum.slice(0, 12)}.jpg`}>${photoWords.save}</a>`}
      <button type="button" class="plain-button" onClick=${onClose}>${photoWords.close}</button>
    </div>
  </dialog>`;
}
