// One tap for what begins now: water opened into the pond, with its clock; the power gone.
import { html } from "../ui.js";
import { powerOut } from "../domain/events.js";
import { standingOf } from "../domain/fold.js";
import { makeEntry, record } from "../record.js";
import { roundWords } from "../words/round-words.js";
import { useNow, useStore } from "../store.js";
import { PondPick } from "./fields.js";
import { waterIn } from "./going-on.js";
import { Icon } from "./icons.js";

/** @param {{pick?: boolean}} props   `pick`: the page has no choice of pond yet */
export function WaterOn({ pick = true }) {
  const { plan, seen, pond, person } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (!here || !person) return null;
  const runs = waterIn(here, standingOf(seen), now_ms) !== null;
  const open = (/** @type {boolean} */ dechlorinated) => record([makeEntry("water_running", here.id,
    { running: true, dechlorinated, limit_min: here.water_running_limit_min ?? null })], roundWords.water_opened);
  return html`<div class="start-row" role="group" aria-label=${roundWords.water_on}>
    <p><${Icon} name="drop" /><span>${roundWords.water_on}<small>${roundWords.water_on_hint}</small></span></p>
    ${pick && html`<${PondPick} />`}
    ${!runs && html`<div class="pair">
      <button type="button" class="plain-button" onClick=${() => open(true)}>${roundWords.dechlorinated}</button>
      <button type="button" class="plain-button" onClick=${() => open(false)}>${roundWords.not_dechlorinated}</button>
    </div>`}
    ${runs && html`<p class="quiet">${roundWords.runs_already}</p>`}
  </div>`;
}

export function PowerGone() {
  const { plan, seen, person } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds[0];
  if (!here || !person || powerOut(standingOf(seen), now_ms)) return null;
  const gone = () => {
    record([makeEntry("power", here.id, { on: false })], `${roundWords.power_out}: ${roundWords.power_out_hint}`);
    scrollTo(0, 0);
  };
  return html`<button type="button" class="wrong-row" onClick=${gone}><${Icon} name="warn" />
    <span>${roundWords.power_out}<small>${roundWords.power_out_hint}</small></span></button>`;
}
