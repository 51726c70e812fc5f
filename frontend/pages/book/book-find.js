// The way to look for something in the book: words, and lists that narrow it down.
import { html, useEffect, useId, useRef, useState } from "../../ui.js";
import { bookWords } from "../../words/book-words.js";
import { TextField } from "../../parts/fields.js";
import { useStore } from "../../store.js";
import { choicesOf, EVERYTHING, narrowedTo, queryOf } from "./book-sought.js";

/** @typedef {import("../../domain/search.js").Sought} Sought */
/** @typedef {{sought: Sought, onSeek: (change: (now: Sought) => Sought) => void}} Seeking */

const W = bookWords;
/** Words as many as home takes. */
const ROOM = 200;

/** @param {Seeking & {found: string}} props   `found`: how many, once something is sought */
export function Find({ sought, onSeek, found }) {
  const { plan, seen } = useStore();
  const [open, unfold] = useState(false);
  const form = useRef(/** @type {HTMLElement|null} */ (null));
  // Who comes by a link that seeks something comes for what is found.
  useEffect(() => {
    if (queryOf(sought)) form.current?.scrollIntoView();
  }, []);
  if (!plan) return null;
  const choices = choicesOf(plan, seen);
  const set = (/** @type {keyof Sought} */ name) => (/** @type {string} */ value) =>
    onSeek((now) => ({ ...now, [name]: value }));
  // What offers no choice is left out; what is chosen stays, also where this device does not know it.
  const lists = /** @type {(keyof typeof choices)[]} */ (Object.keys(choices))
    .filter((name) => sought[name] || Object.keys(choices[name]).length > 2);
  const wrong = sought.since && sought.until && sought.until < sought.since ? W.order : "";
  return html`<form class="find" role="search" ref=${form} onSubmit=${(event) => event.preventDefault()}>
    <${TextField} label=${W.find} type="search" text=${sought.text} onText=${set("text")} hint=${W.find_hint}
      autocomplete="off" maxlength=${ROOM} />
    <details class="fold-set" open=${open}
        onToggle=${(event) => unfold(event.target.open)}><summary><span><b>${W.narrow}</b>${" "}
      <span class="quiet">${narrowedTo(sought, choices) || W.nothing}</span></span></summary>
      <fieldset class="field-set" aria-label=${W.narrow}>
        ${lists.map((name) => html`<${Pick} key=${name} label=${W[name]} options=${choices[name]} value=${sought[name]}
          onPick=${set(name)} />`)}
        <${TextField} label=${W.since} type="date" text=${sought.since} onText=${set("since")} />
        <${TextField} label=${W.until} type="date" text=${sought.until} onText=${set("until")} error=${wrong} />
      </fieldset></details>
    ${queryOf(sought) && html`<div class="found"><p role="status">${found}</p>
      <button type="button" class="text-button" onClick=${() => onSeek(() => EVERYTHING)}>${W.clear}</button></div>`}
  </form>`;
}

/** @param {{label: string, options: Record<string, string>, value: string, onPick: (value: string) => void}} props */
function Pick({ label, options, value, onPick }) {
  const id = useId();
  const all = value in options ? options : { ...options, [value]: value };
  return html`<p class="pond-pick"><label for=${id}>${label}</label>
    <select id=${id} value=${value} onChange=${(event) => onPick(event.target.value)}>
      ${Object.entries(all).map(([one, said]) => html`<option key=${one} value=${one}>${said}</option>`)}
    </select></p>`;
}
