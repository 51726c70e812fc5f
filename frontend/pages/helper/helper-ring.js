// Whom to ring, on every page of a helper's; from the plan, or from what was kept when the plan went.
import { html } from "../../ui.js";
import { Icon } from "../../parts/icons.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";

/** @param {{calm?: boolean}} props   `calm`: nothing is wrong */
export function Ring({ calm = false }) {
  const { plan, helps } = useStore();
  const ring = plan?.ring.length ? plan.ring : helps?.ring ?? [];
  return html`${ring.map((one) => html`<a key=${one.tel} class=${calm ? "choice" : "ring-button"}
    href=${`tel:${one.tel.replace(/[^+0-9]/g, "")}`}><${Icon} name="ring" />
    <span>${words.wrong.ring_one(one.name)}<small>${one.tel}</small></span></a>`)}`;
}
