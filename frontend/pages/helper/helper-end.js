// What a helper's phone shows afterwards: a thank-you and nothing else, or that the link was ended. What was written
// down and not sent stays, is counted, and can be saved as a file.
import { html } from "../../ui.js";
import { clock, shortDate } from "../../formats.js";
import { helperWords, namesOf } from "../../words/helper-words.js";
import { describe } from "../../parts/entry-line.js";
import { useStore } from "../../store.js";
import { problemSentence } from "../../words.js";
import { exportJson } from "../device.js";
import { Ring } from "./helper-ring.js";

export function HelperOver() {
  const { ended, helps } = useStore();
  const names = ended?.keeper_names ?? helps?.keeper_names ?? [];
  // Called off before it began, it has no last day to speak of.
  const on = ended ? ended.ended_on : helps?.ends_on;
  return html`<main class="page start">
    <h1>${helperWords.over}</h1>
    <p>${on && names.length > 0 ? helperWords.over_what(namesOf(names), shortDate(on)) : helperWords.over_plainly}</p>
    <${Kept} sends=${true} />
  </main>`;
}

export function HelperShut() {
  const { helps, plan, problem } = useStore();
  const names = helps?.keeper_names ?? [];
  const ring = Boolean(plan?.ring.length || helps?.ring.length);
  return html`<main class="page start">
    <h1>${helperWords.shut}</h1>
    <p>${helperWords.shut_why(problem?.code ?? "", names.length > 0 ? namesOf(names) : helperWords.invite.keepers)}</p>
    <${Kept} sends=${false} />
    ${ring && html`<p>${helperWords.shut_ring}</p><div class="full"><${Ring} /></div>`}
    <p class="quiet">${helperWords.shut_again}</p>
  </main>`;
}

/** What this phone still holds. @param {{sends: boolean}} props   `sends`: what waits is still taken */
export function Kept({ sends }) {
  const { waiting, seen, set_aside, photos, plan } = useStore();
  const photos_wait = [...photos.values()].filter((one) => one.state === "waiting").length;
  const entries = [...waiting].flatMap((id) => seen.get(id)?.entry ?? []);
  const n = entries.length;
  const all = [...entries, ...set_aside.map((one) => one.entry)];
  return html`${n + photos_wait + set_aside.length === 0 && html`<p>${helperWords.all_sent}</p>`}
    ${n > 0 && html`<p class="notice bare" role="status">${sends ? helperWords.kept_waits(n)
      : `${helperWords.shut_lost} ${helperWords.kept(n)}`}</p>`}
    ${photos_wait > 0 && html`<p>${helperWords.photos_wait(photos_wait)}</p>`}
    ${set_aside.length > 0 && html`<p>${helperWords.not_taken}</p><ul>${set_aside.map((one) =>
      html`<li class="aside" key=${one.id}><p><strong>${describe({ ...one, seq: null, on: one.entry.local_date },
        plan, seen)}</strong> ${shortDate(one.entry.local_date)}, ${clock(one.entry.happened_at, one.entry.zone)}</p>
        <p>${/** @type {Record<string, string>} */ (helperWords.refusals)[one.code] ?? problemSentence(one)}</p>
        </li>`)}</ul><p>${helperWords.not_taken_ring}</p>
      ${sends && html`<div class="full"><${Ring} calm=${true} /></div>`}`}
    ${all.length > 0 && html`<button type="button" class="plain-button"
      onClick=${() => exportJson("evenwater-entries.json", all)}>${helperWords.export}</button>`}`;
}
