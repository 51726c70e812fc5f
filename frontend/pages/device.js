// This device: what waits, when it last reached home, its storage, its look, and who is signed in where.
import { html, useEffect, useState } from "../ui.js";
import { number, when } from "../formats.js";
import { flush, leave } from "../live.js";
import { ask } from "../offline/server.js";
import { HowItLooks } from "../parts/how-it-looks.js";
import { InstallHere } from "../parts/install-hint.js";
import { LaterPart } from "../parts/later-part.js";
import { syncWords } from "../parts/sync-line.js";
import { zoneOf } from "../record.js";
import { APP_VERSION, say, useNow, useStore } from "../store.js";
import { canWorkOffline } from "../updates.js";
import { deviceWords } from "../words/device-words.js";
import { errorSentence, words } from "../words.js";

export function Device() {
  return html`<main class="page device">
    <header class="page-head"><h1>${words.device.title}</h1></header>
    <${Sending} />
    <${LaterPart} name="photos-here" />
    <${Storage} />
    <${InstallHere} />
    <${HowItLooks} />
    <${Devices} />
    <${You} />
  </main>`;
}

export function Sending() {
  const state = useStore();
  const zone = zoneOf();
  const now_ms = useNow();
  const rows = [...state.waiting].flatMap((id) => state.seen.get(id) ?? []);
  const last = state.last_sync_at ? when(state.last_sync_at, zone, now_ms) : words.device.never;
  const others = rows.filter((one) => one.entry.author !== state.person?.id);
  const names = new Set(others.map((one) => state.plan?.person_names[one.entry.author] ?? words.device.other_member));
  return html`<section class="card-section"><h2>${words.device.sync}</h2>
    <dl class="facts">
      <div><dt>${words.device.last_sync}</dt><dd>${last}</dd></div>
      <div><dt>${words.device.outbox}</dt><dd>${rows.length}</dd></div>
    </dl>
    <p>${syncWords(state, zone, now_ms).text}</p>
    ${others.length > 0 && html`<p>${words.device.waiting_for(others.length, [...names].join(", "))}</p>`}
    <div class="pair">
      <button type="button" class="plain-button" onClick=${() => flush()}>${words.device.now}</button>
      ${rows.length > 0 && html`<button type="button" class="plain-button"
        onClick=${() => exportJson("evenwater-outbox.json", rows.map((one) => one.entry))}>
        ${words.device.export_outbox}</button>`}
    </div>
  </section>`;
}

export function Storage() {
  const [facts, learn] = useState({ used: "", kept: false, build: /** @type {string|null} */ (null) });
  useEffect(() => {
    const ask = async () => {
      const { usage, quota } = (await navigator.storage?.estimate?.()) ?? {};
      const kept = (await navigator.storage?.persisted?.()) ?? false;
      const used = usage === undefined || !quota ? "" : deviceWords.kept_of(size(usage), size(quota));
      learn({ used, kept, build: await runningBuild() });
    };
    ask().catch(() => {});
  }, []);
  return html`<section class="card-section"><h2>${words.device.storage}</h2>
    <p>${canWorkOffline ? words.device.offline_ready : words.device.offline_not}</p>
    ${facts.used && html`<p>${facts.used}</p>`}
    ${canWorkOffline && html`<p>${facts.kept ? words.device.storage_kept : words.device.storage_maybe}</p>`}
    <p class="quiet">${words.device.version} ${APP_VERSION}${facts.build ? `, ${facts.build}` : ""}</p>
    <p><a href="/about.html">${deviceWords.about}</a></p>
  </section>`;
}

function You() {
  const { person, waiting } = useStore();
  const [asking, ask] = useState(false);
  const [error, fail] = useState("");
  const out = async () => {
    const answer = await leave();
    if (!answer.ok && answer.why !== "sign_in") fail(errorSentence(answer));
  };
  const sendFirst = () => {
    ask(false);
    flush();
  };
  const askOrOut = () => (waiting.size > 0 ? ask(true) : out());
  if (!person) return null;
  return html`<section class="card-section"><h2>${words.device.people}</h2>
    <p>${words.device.signed_in_as(person.name)}</p>
    ${asking && waiting.size > 0 ? html`<div class="notice act">
        <p>${words.device.sign_out_waiting(waiting.size)}</p>
        <div class="pair">
          <button type="button" class="plain-button" onClick=${sendFirst}>${words.device.send_first}</button>
          <button type="button" class="plain-button" onClick=${out}>${words.device.sign_out_anyway}</button>
        </div></div>`
      : html`<button type="button" class="plain-button" onClick=${askOrOut}>${words.device.sign_out}</button>`}
    ${error && html`<p class="form-error" role="alert">${error}</p>`}
  </section>`;
}

function Devices() {
  const { plan, sync } = useStore();
  const now_ms = useNow();
  const [list, show] = useState(/** @type {any[]|null} */ (null));
  const [error, fail] = useState("");
  const load = async () => {
    const answer = await ask("GET", "/api/devices", undefined, Array.isArray);
    if (answer.ok) show(answer.data);
    fail(answer.ok ? "" : answer.why === "no_signal" ? words.device.devices_offline : errorSentence(answer));
  };
  useEffect(() => void load(), [sync === "idle"]);
  const remove = async (id) => {
    const answer = await ask("DELETE", `/api/devices/${id}`, undefined, (data) => data === null);
    if (answer.ok) say(words.device.removed);
    await load();
  };
  const seen = (one) => words.device.seen(when(one.last_seen_at, zoneOf(), now_ms));
  return html`<section class="card-section"><h2>${words.device.devices}</h2>
    ${error && html`<p class="quiet">${error}</p>`}
    ${list && html`<ul class="entry-list">${list.map((one) => html`<li class="entry-line" key=${one.id}>
      <div class="entry-what"><p>${one.label}${one.this && html` <strong>(${words.device.this_one})</strong>`}</p>
        <p class="quiet">${[plan?.person_names[one.person_id], seen(one)].filter(Boolean).join(" · ")}</p></div>
      ${!one.this && html`<button type="button" class="text-button" aria-label=${`${words.device.remove}: ${one.label}`}
        onClick=${() => remove(one.id)}>${words.device.remove}</button>`}
    </li>`)}</ul>`}
  </section>`;
}

/** "640 kB", "12 MB", "3.4 GB" @param {number} bytes */
function size(bytes) {
  if (bytes < 1e6) return `${Math.ceil(bytes / 1e3)} kB`;
  return bytes < 1e9 ? `${number(bytes / 1e6, 0)} MB` : `${number(bytes / 1e9, 1)} GB`;
}

/** @param {string} name @param {any} content */
export function exportJson(name, content) {
  const url = URL.createObjectURL(new Blob([JSON.stringify(content, null, 2)], { type: "application/json" }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}

/** The build this device runs offline, or null. @returns {Promise<string|null>} */
function runningBuild() {
  const worker = navigator.serviceWorker?.controller;
  if (!worker) return Promise.resolve(null);
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => resolve(event.data);
    setTimeout(() => resolve(null), 2000);
    worker.postMessage({ type: "build" }, [port2]);
  });
}
