// Photos of what is done already: they go with an entry of their own, since what was recorded is never changed.
import { html, useState } from "../ui.js";
import { roundWords } from "../words/round-words.js";
import { useHalfTyped } from "../router.js";
import { words } from "../words.js";
import { PhotoField } from "./photo-field.js";

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
