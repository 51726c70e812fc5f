// "A new version is ready": taken when a person says so, never over a half-typed form without consent.
import { html, useState } from "../ui.js";
import { useStore } from "../store.js";
import { isHalfTyped } from "../typing.js";
import { takeUpdate } from "../updates.js";
import { words } from "../words.js";

export function UpdateBanner() {
  const { update_ready } = useStore();
  const [warned, warn] = useState(false);
  if (!update_ready) return null;
  const take = () => (isHalfTyped() && !warned ? warn(true) : takeUpdate());
  return html`<div class="notice update" role="status">
    <p>${warned ? words.update.half_typed : words.update.ready}</p>
    <button type="button" class="plain-button" onClick=${take}>${warned ? words.update.take_anyway : words.update.take}</button>
  </div>`;
}
