// What was just taken back, written as it was meant: the same entry again, at its own moment, with another value.
import { html, useState } from "../../ui.js";
import { skewMs } from "../../domain/fold.js";
import { parsed } from "../../formats.js";
import { bookWords } from "../../words/book-words.js";
import { NumberField, rangeError, TextField } from "../../parts/fields.js";
import { makeEntry, record } from "../../record.js";
import { useHalfTyped } from "../../router.js";
import { useStore } from "../../store.js";
import { shownQuantity, toShown, toStored } from "../../units.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */

const W = bookWords;
/** What every entry says of itself, and a new one says anew. */
const ENVELOPE = new Set([
  "id", "v", "pond", "kind", "happened_at", "local_date", "zone", "recorded_at", "device", "author",
]);
/** As many characters as the server takes. */
const ROOM = 2000;

/** The entry once more, with some fields changed. @param {Seen} one @param {Record<string, any>} changed
 * @param {number} ms in this phone's own time, as everything it sends: the server puts its skew right */
export function writtenAgain({ entry }, changed, ms) {
  const fields = Object.fromEntries(Object.entries(entry).filter(([name]) => !ENVELOPE.has(name)));
  return makeEntry(entry.kind, entry.pond, { ...fields, ...changed }, ms);
}

/** Readings and what is told in words; of anything else the form it came from is as near.
 * @param {{one: Seen}} props */
export function WriteRight({ one }) {
  const { plan, skew_s } = useStore();
  const { entry } = one;
  const known = entry.kind === "reading" ? shownQuantity(plan, entry.pond, entry.quantity) : undefined;
  const before = known ? String(Number(toShown(known, entry.value).toFixed(known.decimals))) : entry.text ?? "";
  const [text, type] = useState(/** @type {string|null} */ (null));
  const [error, fail] = useState("");
  const [done, finish] = useState(false);
  useHalfTyped(text !== null && text !== before);
  if (done || (!known && entry.kind !== "note" && entry.kind !== "change")) return null;
  if (text === null) return html`<button type="button" class="text-button"
    onClick=${() => type(before)}>${W.write_right}</button>`;
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    const said = text.trim();
    const wrong = !said ? words.pond.required : known ? rangeError(said, known) : "";
    fail(wrong);
    if (wrong) return;
    const changed = known ? { value: toStored(known, parsed(said)) } : { text: said };
    record([writtenAgain(one, changed, Date.parse(one.at) - skewMs(skew_s))], words.pond.saved);
    type(null);
    finish(true);
  };
  return html`<form class="write-right" onSubmit=${save} novalidate>
    ${known ? html`<${NumberField} ...${known} text=${text} onText=${type} error=${error} />`
      : html`<${TextField} label=${words.card.note_text} text=${text} onText=${type} lines=${3} maxlength=${ROOM}
        error=${error} />`}
    <div class="pair"><button type="submit" class="plain-button">${words.card.save}</button>
      <button type="button" class="text-button" onClick=${() => type(null)}>${words.card.cancel}</button></div>
  </form>`;
}
