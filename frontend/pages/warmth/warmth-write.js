// Written down in passing on the Warmth page: tonight's forecast, the covers, and the way to readings.
import { html, useState } from "../../ui.js";
import { parsed } from "../../formats.js";
import { rangeError, showFirstError, TextField } from "../../parts/fields.js";
import { makeEntry, record } from "../../record.js";
import { useHalfTyped } from "../../router.js";
import { shownQuantity, shownValue, toStored } from "../../units.js";
import { warmthWords } from "../../words/warmth-words.js";
import { words } from "../../words.js";
import { RECORDS } from "./warmth-records.js";
import { eveningOf } from "./warmth-view.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../units.js").Shown} Shown */
/** @typedef {{plan: import("../../domain/types.js").Plan, pond: import("../../domain/types.js").Pond, facts: Seen[],
 *   now_ms: number}} Props */

const W = warmthWords;
/** What the server takes for a low and a high [°C]. */
const LOW_C = [-40, 40];
const HIGH_C = [-40, 50];

/** @param {Props & {open: boolean}} props */
export function WriteDown({ plan, pond, facts, now_ms, open }) {
  return html`<section class="part write-down"><details class="card-section" open=${open}>
    <summary><h2>${W.write_down}</h2> <span class="quiet">${W.write_down_what}</span></summary>
    <${Forecast} key=${pond.id} plan=${plan} pond=${pond} facts=${facts} now_ms=${now_ms} />
    <div class="cover-now" role="group" aria-label=${W.covers}><h3>${W.covers}</h3>
      <p class="picks">${W.cover.map(([fraction, name]) => html`<button type="button" class="pick" key=${name}
        onClick=${() => cover(pond.id, Number(fraction))}>${name}</button>`)}
        <a class="text-button" href="/warmth?record=cover">${W.records.cover_earlier}</a></p>
      <p class="caution">${W.cover_caution}</p></div>
    <p class="picks">${Object.entries(RECORDS).map(([name, { title }]) =>
      html`<a class="pick" key=${name} href=${`/warmth?record=${name}`}>${title}</a>`)}</p>
  </details></section>`;
}

/** @param {string} pond @param {number} covered_fraction */
function cover(pond, covered_fraction) {
  const said = words.kinds.cover(Math.round(covered_fraction * 100));
  return record([makeEntry("cover", pond, { covered_fraction })], said);
}

/** @param {Props} props */
function Forecast({ plan, pond, facts, now_ms }) {
  const [low, typeLow] = useState("");
  const [high, typeHigh] = useState("");
  const [wrong, fail] = useState({ low: "", high: "" });
  useHalfTyped(low + high !== "");
  const known = shownQuantity(plan, pond.id, "air_temperature_c");
  if (!known) return null;
  const on = eveningOf(plan, pond, now_ms);
  const save = async (event) => {
    event.preventDefault();
    const found = forecastErrors(known, low.trim(), high.trim());
    fail(found);
    showFirstError(event.currentTarget);
    if (found.low || found.high) return;
    const high_c = high.trim() ? toStored(known, parsed(high)) : null;
    await record([makeEntry("air_forecast", pond.id, { on, low_c: toStored(known, parsed(low)), high_c })],
      W.forecast_saved);
    typeLow("");
    typeHigh("");
  };
  return html`<form class="forecast" onSubmit=${save} novalidate aria-label=${W.forecast}><h3>${W.forecast}</h3>
    <p class="quiet">${toldOf(known, facts, on)}</p>
    <div class="pair">
      <${TextField} label=${W.forecast_low} unit=${known.unit} text=${low} onText=${typeLow} error=${wrong.low}
        maxlength="6" autocomplete="off" />
      <${TextField} label=${W.forecast_high} unit=${known.unit} text=${high} onText=${typeHigh} error=${wrong.high}
        maxlength="6" autocomplete="off" />
      <button type="submit" class="plain-button">${words.card.save}</button></div></form>`;
}

/** @param {Shown} known @param {string} low @param {string} high */
function forecastErrors(known, low, high) {
  const limits = (/** @type {number[]} */ [least, most]) => ({
    low: least * known.per + known.offset, high: most * known.per + known.offset, unit: known.unit });
  const first = low ? rangeError(low, limits(LOW_C)) : words.pond.required;
  const second = high ? rangeError(high, limits(HIGH_C)) : "";
  const turned = high && !first && !second && parsed(high) < parsed(low) ? W.forecast_order : "";
  return { low: first, high: second || turned };
}

/** What was told of that night already. @param {Shown} known @param {Seen[]} facts oldest first @param {string} on */
function toldOf(known, facts, on) {
  const told = facts.filter(({ entry }) => entry.kind === "air_forecast" && entry.on === on).pop()?.entry;
  if (!told) return "";
  const say = (/** @type {number|null|undefined} */ c) => (typeof c === "number" ? shownValue(known, c) : "");
  return W.forecast_told(say(told.low_c), say(told.high_c));
}
