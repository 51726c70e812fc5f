// How the app looks on this device: theme, contrast, size of text, and how the time of day is written.
import { html, useState } from "../ui.js";
import { recall, remember } from "../device-memory.js";
import { deviceWords } from "../words/device-words.js";

const W = deviceWords;
/** A look is an attribute of the page, which `floor.js` sets before the first paint. */
const LOOKS = ["theme", "contrast", "text"];

export function HowItLooks() {
  return html`<section class="card-section"><h2>${W.looks}</h2><p class="quiet">${W.looks_hint}</p>
    <${Choice} name="theme" legend=${W.theme} options=${W.themes} />
    <${Choice} name="contrast" legend=${W.contrast} options=${W.contrasts} />
    <${Choice} name="text" legend=${W.text} options=${W.texts} />
    <${Choice} name="hours" legend=${W.hours} options=${W.hours_of} />
  </section>`;
}

/** @param {{name: string, legend: string, options: Record<string, string>}} props */
function Choice({ name, legend, options }) {
  const key = `evenwater-${name}`;
  const [chosen, pick] = useState(recall(key) ?? "system");
  const choose = (/** @type {string} */ value) => {
    remember(key, value === "system" ? null : value);
    pick(value);
    if (LOOKS.includes(name)) wear(name, value);
    else location.reload(); // every time of day on the page is written anew
  };
  return html`<fieldset><legend>${legend}</legend>
    <div class="picks">${Object.entries(options).map(([value, text]) => html`<label key=${value} class="pick">
      <input type="radio" name=${name} value=${value} checked=${chosen === value}
        onChange=${() => choose(value)} />${text}</label>`)}</div></fieldset>`;
}

/** @param {string} name @param {string} value */
function wear(name, value) {
  const { dataset } = document.documentElement;
  const of_the_phone = name === "contrast" && matchMedia("(prefers-contrast: more)").matches ? "more" : undefined;
  const wanted = value === "system" ? of_the_phone : value;
  if (wanted) dataset[name] = wanted;
  else delete dataset[name];
}
