// Sections of the Warmth page: the night, the step-down or step-up, and what home would still have to know.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { clock, number, shortDate } from "../../formats.js";
import { Icon } from "../../parts/icons.js";
import { NightChart } from "../../parts/night-chart.js";
import { FoldedTable, Table, Workings } from "../../parts/workings.js";
import { makeEntry, record } from "../../record.js";
import { shownQuantity, shownValue } from "../../units.js";
import { warmthWords } from "../../words/warmth-words.js";
import { ScoreLink } from "../book/score-link.js";
import { settingsAhead, toldBy } from "./warmth-view.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").PondWarmth} PondWarmth */
/** @typedef {import("../../units.js").Shown} Shown */

const W = warmthWords;
const HALF_HOUR_MS = 1800000;
/** Dated settings shown before the rest is folded away. */
const FEW = 5;

/** @param {{tonight: import("../../domain/types.js").Tonight, plan: Plan, pond: Pond, now_ms: number}} props */
export function Tonight({ tonight, plan, pond, now_ms }) {
  const known = shownQuantity(plan, pond.id, "temperature_c");
  if (!known) return null;
  const over = now_ms > Date.parse(tonight.dawn_at);
  return html`<section class="part"><figure class="trend night">
    <figcaption><h2>${over ? W.gone_by : W.tonight}</h2>
      ${" "}<span class="quiet">${over ? "" : tonight.says}</span></figcaption>
    ${over && html`<p class="quiet">${W.last_night}</p>`}
    <${NightChart} tonight=${tonight} known=${known} zone=${pond.zone} />
    <p class="key"><span class="key-covered">${W.key.covered}</span><span class="key-open">${W.key.open}</span>
      ${tonight.planned.length > 0 && html`<span class="key-planned">${W.key.planned}</span>`}
      ${tonight.measured.length > 0 && html`<span class="key-dot">${W.key.read}</span>`}
      ${tonight.cheap.length > 0 && html`<span class="key-cheap">${W.key.cheap}</span>`}</p>
    <div class="dawn-pair"><${AtDawn} name=${W.at_dawn.covered} band=${tonight.covered_dawn} known=${known} />
      <${AtDawn} name=${W.at_dawn.open} band=${tonight.bare_dawn} known=${known} /></div>
    ${tonight.advice && !over && html`<p class="advice">${tonight.advice}</p>`}
    ${tonight.source && !over && html`<p class="quiet">${tonight.source}</p>`}
    ${tonight.track && html`<p class="quiet">${tonight.track}</p>`}
    <${ScoreLink} subject="dawn" pond=${pond.id} />
    <${FoldedTable} summary=${W.chart.table} columns=${W.chart.columns(known.unit)}
      rows=${nightRows(tonight, known, pond.zone)} />
    <${Workings} workings=${tonight.workings} />
  </figure></section>`;
}

/** @param {{name: string, band: [number, number, number], known: Shown}} props */
function AtDawn({ name, band: [low, middle, high], known }) {
  return html`<p><span>${name}</span><b>${shownValue(known, Number(middle.toFixed(1)))}</b>
    <span>${W.give_or_take(number(Number((((high - low) / 2) * known.per).toFixed(1))))}</span></p>`;
}

/** Hour by hour. @param {import("../../domain/types.js").Tonight} tonight @param {Shown} known @param {string} zone */
function nightRows({ covered, bare, planned, air }, known, zone) {
  const columns = [covered, bare, planned, air].map((/** @type {[string, ...number[]][]} */ line) =>
    line.map(([at, ...values]) => ({ at_ms: Date.parse(at), c: values[1] ?? values[0] })));
  return covered.map(([at]) => [clock(at, zone), ...columns.map((line) => {
    const near = line.find(({ at_ms }) => Math.abs(at_ms - Date.parse(at)) <= HALF_HOUR_MS);
    return near ? number(Number((near.c * known.per + known.offset).toFixed(1)), 1) : "";
  })]);
}

/** What may be agreed to, or what is under way. @param {{plan: Plan, pond: Pond, warmth: PondWarmth,
 *   now_ms: number}} props */
export function Season({ plan, pond, warmth, now_ms }) {
  const { proposal, settings } = warmth;
  const today = civilDate(pond.zone, now_ms);
  if (pond.season) return html`<${UnderWay} plan=${plan} pond=${pond} settings=${settings} today=${today} />`;
  return html`${settings.length > 0 && html`<p class="quiet" role="status">${W.stop_waits}</p>`}
    ${proposal && html`<article class="finding proposal"><h3>${proposal.title}</h3><p>${proposal.says}</p>
      <${Settings} plan=${plan} pond=${pond} settings=${proposal.settings} />
      <p class="quiet">${W.agree_hint}</p>
      <button type="button" class="wide-button"
        onClick=${() => setSeason(pond, proposal.season, today, W.agreed)}>${W.agree}</button></article>`}`;
}

/** @param {{plan: Plan, pond: Pond, settings: [string, number][], today: string}} props */
function UnderWay({ plan, pond, settings, today }) {
  const season = /** @type {import("../../domain/types.js").SeasonSteps} */ (pond.season);
  const way = season.to_c > season.from_c ? "up" : "down";
  return html`<article class="finding"><h3>${W.settings}</h3>
    ${settings.length > 0 ? html`<${Settings} plan=${plan} pond=${pond} settings=${settingsAhead(settings, today)} />`
      : html`<p role="status">${W.season_waits}</p>`}
    <button type="button" class="plain-button"
      onClick=${() => setSeason(pond, null, today, W.stopped)}>${W.stop[way]}</button></article>`;
}

/** @param {{plan: Plan, pond: Pond, settings: [string, number][]}} props */
function Settings({ plan, pond, settings }) {
  const known = shownQuantity(plan, pond.id, "temperature_c");
  const rows = settings.map(([on, c]) => [shortDate(on), known ? shownValue(known, c) : `${number(c)} °C`]);
  return html`<${Table} columns=${W.settings_columns} rows=${rows.slice(0, FEW)} />
    ${rows.length > FEW && html`<${FoldedTable} summary=${W.all_settings(rows.length)} columns=${W.settings_columns}
      rows=${rows} />`}`;
}

/** @param {Pond} pond @param {import("../../domain/types.js").SeasonSteps|null} value @param {string} today
 * @param {string} sentence */
function setSeason(pond, value, today, sentence) {
  const setting = { target: "pond", field: "season", value, effective_from: today };
  return record([makeEntry("set", pond.id, setting)], sentence);
}

/** @param {{lines: string[]}} props */
export function Lacking({ lines }) {
  if (lines.length === 0) return null;
  return html`<section class="part"><h2>${W.lacking}</h2><ul class="lacking">${lines.map((line) => {
    const href = toldBy(line);
    return html`<li key=${line}>${href ? html`<a class="choice" href=${href}><span>${line}</span>
      <${Icon} name="on" /></a>` : html`<p class="choice"><span>${line}</span></p>`}</li>`;
  })}</ul></section>`;
}
