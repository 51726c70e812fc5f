// A fish as it looked over the years: small photos with their dates; one picked stands large beneath, two side by side.
import { html, useState } from "../../ui.js";
import { smallUrl } from "../../photos.js";
import { fishPageWords, photoTimeWords } from "../../words/fish-words.js";
import { Picture, useWhole } from "../../parts/photo-row.js";
import { fullDate } from "../past/past-understood.js";
import { lengthSays } from "./fish-says.js";

/** @typedef {import("../../domain/fish-types.js").FishState} FishState */
/** @typedef {import("../../domain/fish-types.js").PhotoLine} PhotoLine */

const W = photoTimeWords;

/** @param {{fish: FishState}} props */
export function PhotosOverTime({ fish }) {
  const [picked, pick] = useState(/** @type {string[]} */ ([]));
  const photos = fish.photos ?? [];
  if (photos.length === 0) return null;
  const flip = (/** @type {string} */ sum) => pick((now) =>
    (now.includes(sum) ? now.filter((one) => one !== sum) : [...now.slice(-1), sum]));
  // The older stands left, in whichever order they were picked.
  const large = [...photos].reverse().filter((one) => picked.includes(one.sum));
  return html`<section class="part"><article class="finding" aria-label=${fishPageWords.photos}>
    <h2>${fishPageWords.photos}</h2>
    ${photos.length > 1 && html`<p class="quiet">${W.hint}</p>`}
    <ul class="photo-time">${photos.map((one, n) => html`<li key=${one.sum}>
      <button type="button" class="photo-thumb" aria-pressed=${picked.includes(one.sum) ? "true" : "false"}
        aria-label=${W.nth(n + 1, photos.length, fullDate(one.on))} onClick=${() => flip(one.sum)}>
        <${Picture} src=${smallUrl(one.sum)} alt="" /></button>
      <span class="quiet">${fullDate(one.on)}</span></li>`)}</ul>
    <div class="photo-pair" aria-live="polite">${large.map((one) => html`<${Large} key=${one.sum} photo=${one}
      fish=${fish} />`)}</div></article></section>`;
}

/** @param {{photo: PhotoLine, fish: FishState}} props */
function Large({ photo: { sum, on }, fish }) {
  const url = useWhole(sum);
  const measure = fish.measures.find((one) => one.on === on && one.length_cm !== null);
  const says = [fullDate(on), measure && lengthSays(measure)].filter(Boolean).join(" · ");
  return html`<figure>${url && html`<${Picture} src=${url} alt=${W.of(fish.name, says)} whole=${true} />`}
    <figcaption>${says}</figcaption></figure>`;
}
