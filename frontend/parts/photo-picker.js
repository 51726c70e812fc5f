// Photos to go with something that is about to be recorded: taken now, or chosen from what the phone has.
import { html, useEffect, useRef, useState } from "../ui.js";
import { letGo, MOST_PHOTOS, takeIn } from "../photos.js";
import { photoWords } from "../words/photo-words.js";
import { PhotoRow } from "./photo-row.js";

/** Hand over `sums` and keep what `onChange` tells; put them into the entry as `photos`, or one as a job's `picture`,
 * and the photos are sent as soon as that entry is recorded. A form that is sent off while one is being made ready
 * waits for it: else that photo would be lost, or go with what is recorded next. What is urgent does not (`waits`).
 * @param {{sums: string[], onChange: (sums: string[]) => void, most?: number, waits?: boolean}} props */
export function PhotoPicker({ sums, onChange, most = MOST_PHOTOS, waits = true }) {
  const [said, say] = useState({ busy: false, wrong: "" });
  const [held, hold] = useState(/** @type {HTMLFormElement|null} */ (null));
  const place = useRef(/** @type {HTMLElement|null} */ (null));
  const busy = useRef(false);
  const chosen = useRef(sums);
  useEffect(() => { chosen.current = sums; }, [sums]);
  useEffect(() => {
    const wait = (/** @type {Event} */ event) => {
      const form = /** @type {HTMLFormElement} */ (event.target);
      if (!waits || !busy.current || !form.contains(place.current)) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      hold(form);
    };
    addEventListener("submit", wait, true);
    return () => removeEventListener("submit", wait, true);
  }, []);
  useEffect(() => {
    if (said.busy || !held) return;
    hold(null);
    if (!said.wrong) /** @type {HTMLElement|null} */ (held.querySelector("[type=submit]"))?.click();
  }, [said.busy, held]);
  const change = (/** @type {string[]} */ now) => {
    chosen.current = now;
    onChange(now);
  };
  const takeAll = async (/** @type {File[]} */ files) => {
    /** @type {string[]} */
    const wrong = [];
    busy.current = true;
    say({ busy: true, wrong: "" });
    for (const file of files) {
      if (chosen.current.length >= most) {
        wrong.push(photoWords.full_entry(most));
        break;
      }
      const { sum, why } = await takeIn(file);
      if (sum && !chosen.current.includes(sum)) change([...chosen.current, sum]);
      if (why) wrong.push(why);
    }
    busy.current = false;
    say({ busy: false, wrong: wrong.join(" ") });
  };
  const takeOut = (/** @type {string} */ sum) => {
    change(chosen.current.filter((one) => one !== sum));
    letGo(sum);
  };
  return html`<div class="photo-field" ref=${place}>
    <${PhotoRow} sums=${sums} onTakeOut=${takeOut} />
    ${sums.length < most && html`<div class="pair">
      <${Way} text=${photoWords.take} camera=${true} busy=${said.busy} onFiles=${takeAll} />
      <${Way} text=${photoWords.choose} many=${most > 1} busy=${said.busy} onFiles=${takeAll} />
    </div>`}
    <p class="field-more" role="status">${said.busy ? (held ? photoWords.then_saved : photoWords.working) : ""}</p>
    ${said.wrong && html`<p class="form-error" role="alert">${said.wrong}</p>`}
  </div>`;
}

/** A button that asks the system for pictures. Two of them, because many a phone's chooser offers no camera.
 * @param {{text: string, camera?: boolean, many?: boolean, busy: boolean, onFiles: (files: File[]) => void}} props */
function Way({ text, camera = false, many = false, busy, onFiles }) {
  const input = useRef(/** @type {HTMLInputElement|null} */ (null));
  const took = (/** @type {any} */ event) => {
    const files = [...event.target.files ?? []];
    // The same file may be chosen again.
    event.target.value = "";
    if (files.length) onFiles(files);
  };
  return html`<button type="button" class="plain-button" disabled=${busy}
      onClick=${() => input.current?.click()}>${text}</button>
    <input ref=${input} type="file" accept="image/*" hidden aria-label=${text} multiple=${many}
      capture=${camera ? "environment" : undefined} onChange=${took} />`;
}
