// What the list of a bowling session and the fish in its bowl share.
import { html } from "../../ui.js";
import { bowlWords, fishPageWords } from "../../words/fish-words.js";
import { Icon } from "../../parts/icons.js";
import { mass } from "./fish-mass.js";
import { lengthSays } from "./fish-says.js";

/** @typedef {import("../../domain/types.js").Entry} Entry */

const W = bowlWords;

export function WrongRow() {
  return html`<a class="wrong-row" href="/round?wrong"><${Icon} name="warn" /><span>${W.wrong}
    <small>${W.wrong_hint}</small></span></a>`;
}

/** What was measured, in a line. @param {Entry} entry */
export function measuredSays({ length_cm, length_is, weight_g }) {
  const length = typeof length_cm === "number" && length_is
    && lengthSays(/** @type {any} */ ({ length_cm, length_is }));
  return [length, typeof weight_g === "number" && mass(weight_g)].filter(Boolean).join(", ") || W.looked_at;
}

/** Standard or total, always in words.
 * @param {{length_is: "standard"|"total", onChoose: (which: "standard"|"total") => void, label: string}} props */
export function LengthIs({ length_is, onChoose, label }) {
  const all = /** @type {("standard"|"total")[]} */ (["total", "standard"]);
  return html`<div role="group" aria-label=${label}><p class="picks">${all.map((one) => html`<button key=${one}
    type="button" class="pick" aria-pressed=${one === length_is ? "true" : "false"}
    onClick=${() => onChoose(one)}>${fishPageWords.length_is[one]}</button>`)}</p></div>`;
}
