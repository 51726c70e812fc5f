// How a number came about, for whoever asks; and plain tables.
import { html } from "../ui.js";
import { number } from "../formats.js";
import { words } from "../words.js";

/** @param {{workings: import("../domain/types.js").Workings|null}} props */
export function Workings({ workings }) {
  if (!workings) return null;
  return html`<details class="workings">
    <summary>${words.card.workings}</summary>
    <p><strong>${workings.title}</strong></p>
    <dl>${workings.inputs.map((input) => html`<div key=${input.name}>
      <dt>${input.name} <span class="quiet">${input.from}</span></dt>
      <dd>${typeof input.value === "number" ? number(input.value) : input.value} ${input.unit}</dd>
    </div>`)}</dl>
    <ol class="workings-steps">${workings.steps.map(({ text, value }) =>
      html`<li key=${text}>${text}: <strong>${value}</strong></li>`)}</ol>
    <p><strong>${words.card.result}: ${workings.result}</strong></p>
    ${(workings.warnings ?? []).map((line) => html`<p class="caution" key=${line}>${line}</p>`)}
    <p class="quiet">${words.card.source}: ${workings.source}</p>
  </details>`;
}

/** Behind a summary, so that a chart stays a picture and its numbers are there for all.
 * @param {{summary: string, columns: string[], rows: string[][]}} props */
export function FoldedTable({ summary, columns, rows }) {
  return html`<details class="workings"><summary>${summary}</summary><${Table} columns=${columns} rows=${rows} />
  </details>`;
}

/** @param {{columns: string[], rows: string[][]}} props   the first column names the row */
export function Table({ columns, rows }) {
  if (rows.length === 0) return null;
  return html`<table><thead><tr>${columns.map((name) =>
    name ? html`<th scope="col" key=${name}>${name}</th>` : html`<td key=${name}></td>`)}</tr></thead>
    <tbody>${rows.map((row, n) => html`<tr key=${n}>${row.map((cell, m) =>
      m === 0 ? html`<th scope="row">${cell}</th>` : html`<td key=${m}>${cell}</td>`)}</tr>`)}</tbody></table>`;
}
