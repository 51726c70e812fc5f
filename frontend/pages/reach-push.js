// Notifications on this device: a section of the page about how the list reaches somebody.
import { html } from "../ui.js";
import { pushWords } from "../push-words.js";

const W = pushWords;

export function ReachPush() {
  return html`<section class="card-section"><h2>${W.title}</h2></section>`;
}
