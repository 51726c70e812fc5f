// Something home worked out: a line for the eye, a sentence, what to do first, a table where there is one.
import { html } from "../ui.js";
import { FirstThings, Say } from "./answer-card.js";
import { Table, Workings } from "./workings.js";

/** `under`: the heading it stands under, which it does not say again.
 * @param {{one: Omit<import("../domain/types.js").Finding, "section">, under?: string, children?: any}} props */
export function FindingCard({ one, under, children }) {
  return html`<article class="finding">
    ${one.title !== under && html`<h3>${one.title}</h3>`}
    ${one.big && html`<p class="big">${one.big}</p>`}
    ${one.answer && html`<${Say} answer=${one.answer} />`}
    <p>${one.says}</p>
    <${FirstThings} first=${one.first} cautions=${one.cautions} />
    <${Table} columns=${one.columns} rows=${one.rows} />
    ${children}
    <${Workings} workings=${one.workings} />
  </article>`;
}
