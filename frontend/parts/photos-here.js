// What of photos is still on this device: those that wait, and those that home cannot take.
import { html } from "../ui.js";
import { photoWords } from "../words/photo-words.js";
import { useStore } from "../store.js";
import { errorSentence } from "../words.js";
import { PhotoRow } from "./photo-row.js";

export function PhotosHere() {
  const { photos, photo_problem } = useStore();
  const waiting = [...photos.values()].filter((one) => one.state === "waiting");
  const refused = [...photos.values()].filter((one) => one.state === "refused");
  const kb = Math.ceil(waiting.reduce((sum, one) => sum + one.size, 0) / 1000);
  return html`<section class="card-section"><h2>${photoWords.label}</h2>
    <p>${waiting.length ? photoWords.device_waiting(waiting.length, kb) : photoWords.device_none}</p>
    ${photo_problem && waiting.length > 0 && html`<p>${errorSentence({ why: "refused", problem: photo_problem })}</p>`}
    ${refused.length > 0 && html`<p>${photoWords.device_refused(refused.length)}</p>
      <${PhotoRow} sums=${refused.map((one) => one.sum)} />`}
  </section>`;
}
