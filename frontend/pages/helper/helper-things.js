// Where things are: what a helper may have to find, each with its picture.
import { html } from "../../ui.js";
import { handOverOf } from "../../helper.js";
import { helperWords } from "../../words/helper-words.js";
import { HelperPicture } from "../../parts/helper-picture.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { Ring } from "./helper-ring.js";

export function HelperThings() {
  // A thing of which nothing is said would only make somebody search for it.
  const shown = (handOverOf(useStore())?.shown ?? []).filter((one) => one.photo || one.where);
  return html`<main class="page helper">
    <header class="page-head"><h1>${helperWords.things}</h1></header>
    ${shown.length === 0 && html`<p class="empty">${helperWords.things_none}</p>`}
    ${shown.map((one, n) => html`<section class="card-section" key=${n}><h2>${nameOf(one.what)}</h2>
      ${one.where && html`<p>${one.where}</p>`}
      ${one.photo && html`<${HelperPicture} sum=${one.photo} of=${one.where ?? nameOf(one.what)} />`}
    </section>`)}
    <p class="in-doubt inset">${helperWords.doubt}</p>
    <div class="beside"><${Ring} calm=${true} /></div>
    <p class="centre"><a class="plain-button" href="/round">${words.wrong.back}</a></p>
  </main>`;
}

/** @param {string} what */
function nameOf(what) {
  return /** @type {Record<string, string>} */ (helperWords.thing)[what] ?? helperWords.thing.other;
}
