// Where the pond is: its time zone, and a place no finer than some 10 km, for dusk, dawn and the weather.
import { html, useState } from "../../ui.js";
import { number } from "../../formats.js";
import { FieldForm } from "../../parts/field-form.js";
import { startWords } from "../../words/start-words.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { saveSettings, whose } from "../save-settings.js";
import { beginning } from "../warmth/warmth-forms.js";
import { roughly, zoneNamed } from "./zones.js";

const [W, F] = [startWords, warmthFormWords];
const WAIT_MS = 20_000;

/** @param {import("../warmth/warmth-forms.js").Props} props */
export function PlaceForm({ plan, pond }) {
  const sections = [
    { title: F.place, hint: W.rounded, under: (/** @type {any} */ filling) => html`<${Here} filling=${filling} />`,
      fields: [
        { name: "latitude", label: F.latitude, unit: "°", low: -66, high: 66 },
        { name: "longitude", label: F.longitude, unit: "°", low: -180, high: 180 },
        { name: "zone", label: W.zone, kind: /** @type {const} */ ("text"), most: 64, required: true }] },
    { title: F.weather, hint: F.weather_says, fields: [
      { name: "weather_service", label: F.weather_use, options: F.yes_no }] }];
  const before = beginning(pond, sections, { weather_service: pond.weather_service ? "yes" : "no" });
  const check = (/** @type {Record<string, any>} */ values) => {
    const missing = ["latitude", "longitude"].find((name) => values[name] === null);
    if (!zoneNamed(values.zone)) return { zone: W.zone_unknown };
    return values.weather_service === "yes" && missing ? { [missing]: F.weather_needs } : {};
  };
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) =>
    saveSettings(pond, changed.map((name) => [name, kept(name, values[name])]), "/warmth");
  return html`<${FieldForm} title=${F.titles.place} hint=${whose(plan, pond)} sections=${sections} check=${check}
    before=${before} back="/warmth" onSave=${save} />`;
}

/** @param {string} name @param {any} value as typed */
function kept(name, value) {
  if (name === "weather_service") return value === "yes";
  return name === "zone" ? zoneNamed(value) : value === null ? null : roughly(value);
}

/** Asks the phone, once, where it is; what it says is rounded before it is even shown.
 * @param {{filling: any}} props */
function Here({ filling }) {
  const [said, say] = useState("");
  if (!isSecureContext || !navigator.geolocation) return null;
  const ask = () => {
    say(W.here_busy);
    navigator.geolocation.getCurrentPosition(({ coords }) => {
      const [latitude, longitude] = [roughly(coords.latitude), roughly(coords.longitude)];
      filling.set("latitude")(String(latitude));
      filling.set("longitude")(String(longitude));
      say(W.here_done(`${number(latitude)}, ${number(longitude)}`));
    }, () => say(W.here_not), { timeout: WAIT_MS, maximumAge: Infinity });
  };
  return html`<p class="section-hint"><button type="button" class="plain-button" onClick=${ask}>${W.here}</button></p>
    <p class="section-hint quiet" role="status">${said}</p>`;
}
