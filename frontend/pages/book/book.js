// The pond book: everything recorded, newest first; what was set aside; and the way to settings and this device.
import { html, steady } from "../../ui.js";
import { describe } from "../../parts/entry-line.js";
import { exportJson } from "../device.js";
import { NoteForm } from "./note-form.js";
import { Icon } from "../../parts/icons.js";
import { useStore } from "../../store.js";
import { deviceWords } from "../../words/device-words.js";
import { problemSentence, words } from "../../words.js";
import { Stream } from "./book-stream.js";

/** @type {[keyof typeof words.titles, string][]} */
const LINKS = [["jobs", "round"], ["kit", "kit"], ["changes", "change"], ["scores", "look"],
  ["report", "photo"], ["hand-overs", "hands"], ["reach", "letter"], ["pond", "pond"], ["device", "device"],
  ["past", "book"]];
/** It looks at the store itself: what does not change it leaves hundreds of lines as they are. */
const SteadyStream = steady(Stream);

/** @param {{query: URLSearchParams}} props   what is sought, as in `soughtFrom` */
export function Book({ query }) {
  const { set_aside } = useStore();
  return html`<main class="page book">
    <header class="page-head"><div><h1>${words.book.title}</h1><p class="quiet">${words.book.hint}</p></div></header>
    ${set_aside.length > 0 && html`<${SetAside} />`}
    <nav class="book-links" aria-label=${words.book.links}>
      ${LINKS.map(([page, icon]) => html`<a class="choice" key=${page} href=${`/${page}`}><${Icon} name=${icon} />
        <span>${words.titles[page]}</span></a>`)}
      <a class="choice" href="/about.html"><${Icon} name="note" /><span>${deviceWords.about}</span></a>
    </nav>
    <${NoteForm} />
    <${SteadyStream} key=${String(query)} query=${String(query)} />
  </main>`;
}

function SetAside() {
  const { set_aside, plan, seen } = useStore();
  return html`<section class="notice act" aria-labelledby="set-aside">
    <h2 id="set-aside">${words.book.aside}</h2><p>${words.book.aside_hint}</p>
    <ul>${set_aside.map((one) => html`<li class="aside" key=${one.id}>
      <p><strong>${describe({ ...one, seq: null, on: one.entry.local_date }, plan, seen)}</strong></p>
      <p>${problemSentence(one)} <span class="quiet">${one.where}</span></p></li>`)}</ul>
    <button type="button" class="plain-button"
      onClick=${() => exportJson("evenwater-set-aside.json", set_aside)}>${words.book.export}</button>
  </section>`;
}
