// Photos of what is done already: they go with an entry of their own, since what was recorded is never changed.
import { html, useEffect, useRef, useState } from "../ui.js";
import { roundWords } from "../words/round-words.js";
import { useHalfTyped } from "../router.js";
import { words } from "../words.js";
import { PhotoField } from "./photo-field.js";

/** Photos to go with an answer; one that was still being made ready when it was given comes late.
 * @param {boolean} answered @param {(photos: string[]) => void} onLate
 * @param {boolean} [stay]   whether they are still shown then
 * @returns {[string[], (sums: string[]) => void]} */
export function usePhotosOf(answered, onLate, stay = false) {
  const [photos, attach] = useState(/** @type {string[]} */ ([]));
  const recorded = useRef(/** @type {string[]|null} */ (null));
  useEffect(() => {
    recorded.current = answered ? photos : null;
    if (answered && !stay) attach([]);
  }, [answered]);
  return [photos, (sums) => {
    const before = recorded.current;
    if (!before || stay) attach(sums);
    if (!before) return;
    onLate(sums.filter((sum) => !before.includes(sum)));
    recorded.current = sums;
  }];
}

/** @param {{of: string, onSave: (sums: string[]) => void}} props   `of`: what was done */
export function AfterPhoto({ of, onSave }) {
  const [open, show] = useState(false);
  const [photos, pick] = useState(/** @type {string[]} */ ([]));
  useHalfTyped(photos.length > 0);
  const close = () => {
    pick([]);
    show(false);
  };
  const save = () => {
    onSave(photos);
    close();
  };
  return html`<button type="button" class="text-button" aria-expanded=${open}
      aria-label=${`${roundWords.photo}: ${of}`} onClick=${() => show(!open)}>${roundWords.photo}</button>
    ${open && html`<div class="after-photo"><${PhotoField} sums=${photos} onChange=${pick} />
      <div class="pair">
        ${photos.length > 0
          && html`<button type="button" class="wide-button" onClick=${save}>${words.card.save}</button>`}
        <button type="button" class="plain-button" onClick=${close}>${words.card.cancel}</button>
      </div></div>`}`;
}
