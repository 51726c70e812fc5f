// The household's signed-in devices, each with its way out.
import { html, useEffect, useState } from "../ui.js";
import { when } from "../formats.js";
import { ask } from "../offline/server.js";
import { zoneOf } from "../record.js";
import { say, useStore } from "../store.js";
import { errorSentence, words } from "../words.js";

export function Devices() {
  const { plan, sync } = useStore();
  const [list, show] = useState(/** @type {any[]|null} */ (null));
  const [error, fail] = useState("");
  const load = async () => {
    const answer = await ask("GET", "/api/devices");
    if (answer.ok) show(answer.data);
    fail(answer.ok ? "" : answer.why === "no_signal" ? words.device.devices_offline : errorSentence(answer));
  };
  useEffect(() => void load(), [sync === "idle"]);
  const remove = async (/** @type {string} */ id) => {
    const answer = await ask("DELETE", `/api/devices/${id}`);
    if (answer.ok) say(words.device.removed);
    await load();
  };
  return html`<section class="card-section"><h2>${words.device.devices}</h2>
    ${error && html`<p class="quiet">${error}</p>`}
    ${list && html`<ul class="entry-list">${list.map((one) => html`<li class="entry-line" key=${one.id}>
      <div class="entry-what"><p>${one.label}${one.this && html` <strong>(${words.device.this_one})</strong>`}</p>
        <p class="quiet">${[plan?.person_names[one.person_id], words.device.seen(when(one.last_seen_at, zoneOf(), Date.now()))].filter(Boolean).join(" · ")}</p></div>
      ${!one.this && html`<button type="button" class="text-button" aria-label=${`${words.device.remove}: ${one.label}`}
        onClick=${() => remove(one.id)}>${words.device.remove}</button>`}
    </li>`)}</ul>`}
  </section>`;
}
