// The steps, inputs and source behind a computed number, shown on request.
import { html } from "../ui.js";
import { words } from "../words.js";

/** @param {{workings: import("../domain/types.js").Workings}} props */
export function Workings({ workings }) {
  return html`<details class="workings">
    <summary>${words.card.workings}</summary>
    <h3>${workings.title}</h3>
    <dl>${workings.inputs.map((input) => html`<div key=${input.name}>
      <dt>${input.name}</dt><dd>${input.value} <span class="quiet">${input.source}</span></dd>
    </div>`)}</dl>
    <ol class="workings-steps">${workings.steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol>
    <p><strong>${words.card.result}: ${workings.result}</strong></p>
    <p class="quiet">${words.card.source}: ${workings.source}</p>
  </details>`;
}
