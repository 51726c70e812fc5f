// A helper's phone: what is sent and what waits, what could not be taken, light or dark.
import { html } from "../../ui.js";
import { helperWords } from "../../words/helper-words.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { HowItLooks } from "../../parts/how-it-looks.js";
import { Sending, Storage } from "../device.js";
import { Kept } from "./helper-end.js";

export function HelperPhone() {
  const { set_aside } = useStore();
  return html`<main class="page device helper">
    <header class="page-head"><h1>${helperWords.phone}</h1></header>
    <${Sending} />
    ${set_aside.length > 0 && html`<section class="card-section"><${Kept} sends=${true} /></section>`}
    <${Storage} />
    <${HowItLooks} />
    <p class="centre"><a class="plain-button" href="/round">${words.wrong.back}</a></p>
  </main>`;
}
