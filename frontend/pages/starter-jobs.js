// The standing jobs a new household is offered: tick what fits, and the round begins.
import { html, useState } from "../ui.js";
import { makeEntry, record } from "../record.js";
import { useStore } from "../store.js";
import { words } from "../words.js";

/** @typedef {{target: string, field: string, value: any}} Setting */

/** @param {{pond: string, starter: Setting[]}} props */
export function StarterJobs({ pond, starter }) {
  const { seen } = useStore();
  const targets = [...new Set(starter.map((one) => one.target))];
  const [left_out, leaveOut] = useState(/** @type {Set<string>} */ (new Set()));
  const [offered] = useState(starter);
  const begun = [...seen.values()].some(({ entry }) => entry.kind === "set" && entry.target?.startsWith("job/"));
  if (begun) return html`<p class="empty" role="status">${words.pond.jobs_begun}</p>`;
  if (offered.length === 0) return html`<p class="empty">${words.pond.jobs_none}</p>`;
  const flip = (/** @type {string} */ target) => {
    const next = new Set(left_out);
    if (!next.delete(target)) next.add(target);
    leaveOut(next);
  };
  const begin = (/** @type {Event} */ event) => {
    event.preventDefault();
    const chosen = offered.filter((one) => !left_out.has(one.target));
    record(chosen.map((one) => makeEntry("set", pond, { ...one, effective_from: null })), words.pond.saved);
  };
  return html`<form class="form" onSubmit=${begin}><fieldset><legend>${words.pond.jobs}</legend>
      ${targets.map((target) => html`<label class="choice" key=${target}>
        <input type="checkbox" checked=${!left_out.has(target)} onChange=${() => flip(target)} />
        <span>${nameOf(offered, target)}<small>${placeOf(offered, target)}</small></span></label>`)}
    </fieldset>
    <button type="submit" class="wide-button" disabled=${left_out.size === targets.length}>${words.pond.jobs_save}</button>
  </form>`;
}

/** @param {Setting[]} starter @param {string} target */
function nameOf(starter, target) {
  const of = (/** @type {string} */ field) => starter.find((one) => one.target === target && one.field === field)?.value;
  const texts = of("texts");
  return texts ? Object.values(texts).join(", ") : of("text") ?? target.slice(4);
}

/** @param {Setting[]} starter @param {string} target */
function placeOf(starter, target) {
  return starter.find((one) => one.target === target && one.field === "place")?.value ?? "";
}
