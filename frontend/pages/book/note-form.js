// A note in the pond book, with photos if there are any.
import { html, useState } from "../../ui.js";
import { PondPick, TextField } from "../../parts/fields.js";
import { PhotoField } from "../../parts/photo-field.js";
import { makeEntry, record } from "../../record.js";
import { useHalfTyped } from "../../router.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";

/** As many characters as the server takes. */
const ROOM = 2000;

export function NoteForm() {
  const { plan, pond, person } = useStore();
  const [open, show] = useState(false);
  const [text, type] = useState("");
  const [photos, pick] = useState(/** @type {string[]} */ ([]));
  const [error, fail] = useState("");
  useHalfTyped(text !== "" || photos.length > 0);
  const id = pond ?? plan?.ponds[0]?.id;
  if (!person || !id) return null;
  const close = () => {
    type("");
    pick([]);
    fail("");
    show(false);
  };
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!text.trim()) return fail(words.pond.required);
    record([makeEntry("note", id, { text: text.trim(), ...photos.length ? { photos } : {} })], words.pond.saved);
    return close();
  };
  if (!open) return html`<p class="inset"><button type="button" class="plain-button"
    onClick=${() => show(true)}>${words.book.write}</button></p>`;
  return html`<form class="small-form inset" onSubmit=${save}>
    <${PondPick} />
    <${TextField} label=${words.card.note_text} text=${text} onText=${type} lines=${3} maxlength=${ROOM}
      error=${error} />
    <${PhotoField} sums=${photos} onChange=${pick} />
    <div class="pair">
      <button type="submit" class="wide-button">${words.card.save}</button>
      <button type="button" class="plain-button" onClick=${close}>${words.card.cancel}</button>
    </div>
  </form>`;
}
