// Something is wrong: what it is, three first steps, whom to ring. Works without signal; what is recorded
// says at once whether it was sent.
import { html, useEffect, useState } from "../../ui.js";
import { clock } from "../../formats.js";
import { usePhotosOf } from "../../parts/after-photo.js";
import { PondPick } from "../../parts/fields.js";
import { PowerGone, WaterOn } from "../../parts/going-starts.js";
import { Icon } from "../../parts/icons.js";
import { PhotoField } from "../../parts/photo-field.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { makeEntry, record, zoneOf } from "../../record.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";

/** How long "sending" may stand before the honest answer is to ring. */
const PATIENCE_MS = 8000;

/** @param {{id: string, now_ms: number}} props */
export function Wrong({ id }) {
  const { plan } = useStore();
  const trouble = plan?.troubles.find((one) => one.id === id);
  return html`<main class="page wrong">
    <header class="page-head"><h1>${trouble ? trouble.title : words.wrong.title}</h1></header>
    ${trouble ? html`<${Steps} key=${id} trouble=${trouble} />` : html`<${Pick} />`}
    <p class="centre"><a class="plain-button" href="/round">${words.wrong.back}</a></p>
  </main>`;
}

/** What one tap begins brings its first steps along, on every screen. */
const BEGUN_ABOVE = new Set(["power-out", "power-back", "water-running"]);

function Pick() {
  const { plan } = useStore();
  if (!plan) return html`<p class="notice act">${words.wrong.none}</p>`;
  const begun = plan.ponds.length > 0;
  return html`<h2 class="inset">${words.wrong.pick}</h2>
  <${PowerGone} />
  <ul class="choices">
    ${plan.troubles.filter((one) => !begun || !BEGUN_ABOVE.has(one.id)).map((one) => html`<li key=${one.id}>
      <a class="choice" href=${`/round?wrong=${one.id}`}><span>${one.title}</span><${Icon} name="on" /></a></li>`)}
  </ul>
  <${WaterOn} />
  <${Ring} />`;
}

/** @param {{trouble: {id: string, title: string, steps: string[]}}} props */
function Steps({ trouble }) {
  return html`<h2 class="inset">${words.wrong.steps}</h2>
    <ol class="first-steps">${trouble.steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol>
    <${Ring} />
    <${Record} trouble=${trouble} />`;
}

export function Ring() {
  const { plan } = useStore();
  const ring = plan?.ring ?? [];
  return html`<h2 class="inset">${words.wrong.ring}</h2>
    ${ring.length === 0 && html`<p class="inset">${words.wrong.nobody}</p>`}
    ${ring.map((one) => html`<a key=${one.tel} class="ring-button" href=${`tel:${one.tel.replace(/[^+0-9]/g, "")}`}>
      <${Icon} name="ring" /><span>${words.wrong.ring_one(one.name)}<small>${one.tel}</small></span></a>`)}`;
}

/** @param {{trouble: {id: string, title: string}}} props */
function Record({ trouble }) {
  const { plan, seen, person, pond } = useStore();
  const [ids, keep] = useState(/** @type {string[]} */ ([]));
  const [late, grow] = useState(false);
  // Sent means that home has it; between the tap and the disk it is in no list at all.
  const sent = ids.length > 0 && ids.every((id) => (seen.get(id)?.seq ?? null) !== null);
  useEffect(() => {
    if (ids.length === 0 || sent) return undefined;
    const timer = setTimeout(() => grow(true), PATIENCE_MS);
    return () => clearTimeout(timer);
  }, [ids, sent]);
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  // Nothing waits for a photo here: one that comes late goes with a note.
  const [photos, pick] = usePhotosOf(ids.length > 0, (late) =>
    record([makeEntry("note", here?.id ?? "", { text: trouble.title, photos: late })]), true);
  const look = () => {
    const seen_there = { all_well: false, wrong: [], trouble: trouble.id, ...photos.length ? { photos } : {} };
    const entries = here ? [makeEntry("look", here.id, seen_there)] : [];
    keep(entries.map((entry) => entry.id));
    record(entries, words.wrong.recorded);
  };
  if (!person || !plan?.ponds.length) return null;
  if (ids.length === 0) return html`<div class="inset"><${PondPick} /></div>
    <button type="button" class="wide-button inset-button" onClick=${look}>${words.wrong.record}</button>
    <div class="inset"><p class="quiet">${words.wrong.photo}</p>
      <${PhotoField} sums=${photos} onChange=${pick} /></div>`;
  const now = sent ? words.wrong.sent(clock(seen.get(ids[0])?.at ?? "", zoneOf()))
    : late || !navigator.onLine ? words.wrong.not_sent : words.wrong.sending;
  return html`<p class=${sent ? "notice" : "notice act"} role="status">
    <strong>${words.wrong.recorded}. ${now}</strong></p>
    <div class="inset"><${PhotoStrip} sums=${photos} /></div>`;
}
