// All about one fish: what it is known by, every measure, growth between them, its photos, what was seen on it.
import { html } from "../../ui.js";
import { number } from "../../formats.js";
import { fishPageWords } from "../../words/fish-words.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { FoldedTable, Table, Workings } from "../../parts/workings.js";
import { words } from "../../words.js";
import { fullDate } from "../past/past-understood.js";
import { Size } from "./fish-card.js";
import { aboutFish, lengthSays, weightSays } from "./fish-says.js";
import { GrowthChart } from "./growth-chart.js";
import { PhotosOverTime } from "./photos-over-time.js";

/** @typedef {import("./fish.js").FishProps} FishProps */
/** @typedef {import("../../domain/fish-types.js").FishState} FishState */
/** @typedef {import("../../domain/fish-types.js").Band} Band */

const W = fishPageWords;

/** @param {FishProps} props */
export function OneFish({ fish: all, of }) {
  const fish = all.find((one) => one.id === of);
  if (!fish) return html`<${NotThere} />`;
  const told = [[W.marks, fish.marks], [W.origin, fish.origin]].filter(([, said]) => said);
  return html`<main class="page fish">
    <header class="page-head"><div><h1>${fish.name}</h1><p class="quiet">${aboutFish(fish)}</p></div></header>
    <section class="part"><article class="finding" aria-label=${fish.name}>
      <${PhotoStrip} sums=${fish.picture ? [fish.picture] : []} />
      <${Size} fish=${fish} />
      ${told.map(([name, said]) => html`<p key=${name}><span class="quiet">${name}:</span> ${said}</p>`)}
      ${fish.stands_out && html`<p class="stands-out"><b>${W.stand_out}:</b> ${fish.stands_out}</p>`}
      ${fish.says && html`<p>${fish.says}</p>`}
      ${fish.condition_says && html`<p>${fish.condition_says}</p>`}
      <${Workings} workings=${fish.workings} />
      <p class="picks"><a class="pick" href=${`/fish?edit=${fish.id}`}>${W.edit}</a>
        <a class="pick" href=${`/fish?move=${fish.id}`}>${W.move}</a>
        <a class="pick" href=${`/fish?seen=${fish.id}`}>${W.seen}</a></p></article></section>
    <${Growth} fish=${fish} />
    <${Measures} fish=${fish} />
    <${PhotosOverTime} fish=${fish} />
    <${SeenOn} fish=${fish} />
    <p class="centre"><a class="plain-button" href="/fish">${W.back}</a></p>
  </main>`;
}

/** @param {{fish: FishState}} props */
function Measures({ fish }) {
  if (fish.measures.length === 0) return null;
  const rows = fish.measures.map((one) => [fullDate(one.on), lengthSays(one),
    one.weight_g ? weightSays(one.weight_g, one.weighed) : "",
    one.condition === null ? "" : number(one.condition, 2)]);
  // Its condition is known only where it was weighed and measured at once.
  const many = fish.measures.some((one) => one.condition !== null) ? 4 : 3;
  return html`<section class="part"><article class="finding"><h2>${W.measures}</h2>
    <${Table} columns=${W.columns.slice(0, many)} rows=${rows.map((row) => row.slice(0, many))} />
    ${fish.measures.flatMap((one) => one.doubts.map((says) => html`<p class="doubt"
      key=${one.entry + says}>${W.doubt(fullDate(one.on), says)}</p>`))}</article></section>`;
}

/** @param {{fish: FishState}} props */
function Growth({ fish }) {
  if (fish.growth.length === 0) return null;
  const band = ({ low, middle, high }, /** @type {number} */ decimals) =>
    `${number(middle, decimals)} (${W.between(number(low, decimals), number(high, decimals))})`;
  const rows = fish.growth.map((one) => [`${fullDate(one.since)} – ${fullDate(one.on)}`,
    `${band(one.grown_cm, 1)} cm`, `${band(one.per_month_cm, 1)} cm`, `${band(one.gain_percent_per_day, 2)} %`]);
  return html`<section class="part"><article class="finding growth"><h2>${W.growth}</h2>
    <${GrowthChart} fish=${fish} />
    ${fish.against_past && html`<p>${fish.against_past.says}</p>`}
    ${fish.curve && html`<p>${fish.curve.says}</p>`}
    <${FoldedTable} summary=${W.growth_table} columns=${W.growth_columns} rows=${rows} /></article></section>`;
}

/** @param {{fish: FishState}} props */
function SeenOn({ fish }) {
  if (fish.seen.length === 0) return null;
  const signs = /** @type {Record<string, string>} */ (words.kinds.signs);
  return html`<section class="part"><article class="finding"><h2>${W.seen_lately}</h2>
    <ul>${fish.seen.map((one) => html`<li class="entry-line" key=${one.entry}>
      <span>${[...one.signs.map((sign) => signs[sign] ?? sign), one.text].filter(Boolean).join(", ")}</span>
      <span class="quiet">${fullDate(one.on)}</span></li>`)}</ul></article></section>`;
}

export function NotThere() {
  return html`<main class="page"><p class="empty">${W.not_there}</p>
    <p class="centre"><a class="plain-button" href="/fish">${W.back}</a></p></main>`;
}
