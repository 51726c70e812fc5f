// The jobs in a calendar: a section of the page about how the list reaches somebody.
import { html } from "../ui.js";
import { feedWords } from "../feed-words.js";

const W = feedWords;

export function ReachFeed() {
  return html`<section class="card-section"><h2>${W.title}</h2></section>`;
}
