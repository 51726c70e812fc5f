// One fish on its page: picture, name, last length, weight with its band, growth in a sentence.
import { html } from "../../ui.js";
import { fishPageWords } from "../../words/fish-words.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { Icon } from "../../parts/icons.js";
import { fullDate } from "../past/past-understood.js";
import { aboutFish, lastLength, lengthSays, weightSays } from "./fish-says.js";

/** @typedef {import("../../domain/fish-types.js").FishState} FishState */

const W = fishPageWords;

/** @param {{fish: FishState}} props */
export function FishCard({ fish }) {
  const about = aboutFish(fish);
  const doubts = fish.measures[0]?.doubts ?? [];
  const picture = fish.picture ?? fish.photos?.[0]?.sum;
  return html`<article class="finding fish-card" aria-label=${fish.name}>
    <div class="fish-head">
      ${picture ? html`<${PhotoStrip} sums=${[picture]} />`
    : html`<span class="fish-picture"><${Icon} name="fish" /></span>`}
      <div class="fish-what"><h3>${fish.name}</h3>${about && html`<p class="quiet">${about}</p>`}
        <${Size} fish=${fish} /></div></div>
    ${fish.stands_out && html`<p class="stands-out"><b>${W.stand_out}:</b> ${fish.stands_out}</p>`}
    ${fish.says && html`<p>${fish.says}</p>`}
    ${fish.unsent && fish.measures.length > 0 && html`<p class="quiet">${W.waits}</p>`}
    ${doubts.map((says) => html`<p class="doubt" key=${says}>${says}</p>`)}
    <p class="picks"><a class="pick" href=${`/fish?one=${fish.id}`}
      aria-label=${W.of(W.more, fish.name)}>${W.more}</a></p></article>`;
}

/** The last length, as it was measured, and the weight: as weighed with it, else today's estimate.
 * @param {{fish: FishState}} props */
export function Size({ fish }) {
  const last = lastLength(fish);
  const weighed = fish.measures.find((one) => one.weighed && one.weight_g);
  if (!last && !weighed) return html`<p class="quiet">${W.no_measure}</p>`;
  const newest = last && weighed ? (last.on >= weighed.on ? last : weighed) : last ?? weighed;
  return html`<p class="fish-size">
    ${last && html`<b>${lengthSays(last)}</b>`}${" "}
    ${newest && html`<span class="quiet fish-when">${fullDate(newest.on)}</span>`}
    ${fish.weight_g ? html`<span class="fish-weight">${W.today} ${weightSays(fish.weight_g, false)}</span>`
    : weighed?.weight_g && html`<span class="fish-weight">${weightSays(weighed.weight_g, true)}</span>`}</p>`;
}
