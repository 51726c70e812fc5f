// Which pond, where a household has several.
import { html, useId } from "../ui.js";
import { update, useStore } from "../store.js";
import { words } from "../words.js";

export function PondPick() {
  const { plan, pond } = useStore();
  const id = useId();
  if (!plan || plan.ponds.length < 2) return null;
  return html`<p class="pond-pick"><label for=${id}>${words.water.which_pond}</label>
    <select id=${id} value=${pond ?? plan.ponds[0].id} onChange=${(/** @type {any} */ event) => update(() => ({ pond: event.target.value }))}>
      ${plan.ponds.map((one) => html`<option key=${one.id} value=${one.id}>${one.name}</option>`)}
    </select></p>`;
}
