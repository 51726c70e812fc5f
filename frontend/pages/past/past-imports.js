// The files that were brought in before, each to be taken back as a whole.
import { html, useEffect, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { flush } from "../../live.js";
import { sendFile } from "../../offline/file-call.js";
import { ask } from "../../offline/server.js";
import { zoneOf } from "../../record.js";
import { say, useStore } from "../../store.js";
import { pastWords } from "../../words/past-words.js";
import { errorSentence, words } from "../../words.js";
import { fullDate } from "./past-understood.js";

const P = pastWords;

/** @typedef {{id: string, pond: string, file_name: string, kept_at: string, author: string, count: number,
 *   bad_count: number, first_on: string|null, last_on: string|null, taken_back_at: string|null}} Kept */

/** @param {{when: any}} props   looked up anew when it changes */
export function Imports({ when }) {
  const { sync } = useStore();
  const [list, show] = useState(/** @type {Kept[]} */ ([]));
  const [asking, sure] = useState("");
  const [working, work] = useState(false);
  const [error, fail] = useState("");
  const load = async () => {
    const answer = await ask("GET", "/api/past", undefined, Array.isArray);
    if (answer.ok) show(answer.data);
  };
  useEffect(() => void load(), [when, sync === "idle"]);
  const takeBack = async (/** @type {Kept} */ one) => {
    work(true);
    const asked = new Blob([JSON.stringify({ import_id: one.id })], { type: "application/json" });
    const answer = await sendFile("/api/past/take-back", asked, () => {}, (data) => Number.isInteger(data?.taken_back));
    work(false);
    sure("");
    fail(answer.ok ? "" : errorSentence(answer));
    if (answer.ok) say(P.was_taken_back);
    await load();
    flush();
  };
  if (list.length === 0) return null;
  return html`<section class="card-section"><h2>${P.imports}</h2>
    ${error && html`<p class="form-error" role="alert">${error}</p>`}
    <ul class="entry-list">${list.map((one) => html`<li class="entry-line" key=${one.id}>
      <${Line} one=${one} />
      ${!one.taken_back_at && asking !== one.id && html`<button type="button" class="text-button"
        aria-label=${`${P.take_back}: ${one.file_name}`} onClick=${() => sure(one.id)}>${P.take_back}</button>`}
      ${asking === one.id && html`<div class="when-was-this"><p>${P.take_back_sure(one.count)}</p><div class="pair">
        <button type="button" class="plain-button" disabled=${working}
          onClick=${() => takeBack(one)}>${P.take_back_yes}</button>
        <button type="button" class="text-button" onClick=${() => sure("")}>${words.card.cancel}</button></div></div>`}
    </li>`)}</ul></section>`;
}

/** @param {{one: Kept}} props */
function Line({ one }) {
  const { plan } = useStore();
  const day = (/** @type {string} */ at) => fullDate(civilDate(zoneOf(one.pond), Date.parse(at)));
  const dates = [one.first_on, one.last_on].map((on) => (on ? fullDate(on) : ""));
  const where = plan && plan.ponds.length > 1 ? plan.ponds.find(({ id }) => id === one.pond)?.name : "";
  const who = [day(one.kept_at), plan?.person_names[one.author], where].filter(Boolean).join(" · ");
  return html`<div class="entry-what"><p class=${one.taken_back_at ? "withdrawn" : ""}>
      <strong>${one.file_name || P.file}</strong></p>
    <p class="quiet">${P.import_line(one.count, one.bad_count, dates[0], dates[1])}</p>
    <p class="quiet">${who}${one.taken_back_at && `, ${P.taken_back(day(one.taken_back_at))}`}</p></div>`;
}
