// The steps, inputs and source behind a computed number, shown on request.
import { html } from "../ui.js";
import { number } from "../formats.js";
import { words } from "../words.js";

/** @param {{workings: import("../domain/types.js").Workings}} props */
export function Workings({ workings }) {
  return html`<details class="workings">
    <summary>${words.card.workings}</summary>
    <h3>${workings.title}</h3>
    <dl>${workings.inputs.map((input) => html`<div key=${input.name}>
      <dt>${input.name} <span class="quiet">${input.from}</span></dt>
      <dd>${typeof input.value === "number" ? number(input.value) : input.value} ${input.unit}</dd>
    </div>`)}</dl>
    <ol class="workings-steps">${workings.steps.map((step) => html`<li key=${step.text}>${step.text}: <strong>${step.value}</strong></li>`)}</ol>
    <p><strong>${words.card.result}: ${workings.result}</strong></p>
    ${(workings.warnings ?? []).map((line) => html`<p class="caution" key=${line}>${line}</p>`)}
    <p class="quiet">${words.card.source}: ${workings.source}</p>
  </details>`;
}
