// Sections of the Water page below the answers: trends, the buffer plan, and what was worked out.
import { html } from "../../ui.js";
import { civilDate, daysBetween } from "../../domain/civil.js";
import { amount, dayAndMonth, number, shortDate } from "../../formats.js";
import { FindingCard } from "../../parts/finding-card.js";
import { TrendChart } from "../../parts/trend-chart.js";
import { FoldedTable, Table, Workings } from "../../parts/workings.js";
import { inUnits, shownNumber, shownQuantity } from "../../units.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";
import { ScoreLink } from "../book/score-link.js";
import { bufferPlan, marksFor } from "./water-view.js";

const W = waterWords;

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Trend} Trend */
/** @typedef {import("../../domain/types.js").PondWater} PondWater */

/** @param {{plan: Plan, pond: Pond, water: PondWater, facts: Seen[], now_ms: number}} props */
export function Trends({ plan, pond, water, facts, now_ms }) {
  if (water.trends.length === 0) return null;
  return html`<section class="part trends"><h2>${W.trends}</h2>${water.trends.map((trend) => html`<${TrendFigure}
    key=${`${trend.quantity}/${trend.point}`} plan=${plan} pond=${pond} trend=${trend} facts=${facts} now_ms=${now_ms}
    track=${trend.point === "pond" ? water.track.find((one) => one.quantity === trend.quantity) : undefined} />`)}
  </section>`;
}

/** @param {{plan: Plan, pond: Pond, trend: Trend, facts: Seen[], now_ms: number,
 *   track: import("../../domain/types.js").TrackRecord|undefined}} props */
function TrendFigure({ plan, pond, trend, facts, now_ms, track }) {
  const known = shownQuantity(plan, pond.id, trend.quantity)
    ?? inUnits(/** @type {any} */ ({ ...trend, decimals: 2, others: [] }), pond);
  const marks = marksFor(facts, trend, pond);
  const where = trend.point === "pond" ? "" : `, ${W.points[trend.point] ?? trend.point}`;
  return html`<figure class="trend">
    <figcaption>${trend.label}${where} <span class="quiet">${known.unit}</span></figcaption>
    <${TrendChart} trend=${trend} known=${known} zone=${pond.zone} now_ms=${now_ms} ...${marks} />
    <p class="key"><span class="key-dot">${W.chart.reading}</span>
      ${marks.doses.length > 0 && html`<span class="key-dose">${W.chart.dose}</span>`}
      ${marks.changes.length > 0 && html`<span class="key-change">${W.chart.change}</span>`}
      ${trend.wanted.some((one) => one !== null) && html`<span class="key-wanted">${W.chart.good}</span>`}
      ${trend.forecast.length > 0 && html`<span class="key-ahead">${W.chart.ahead}</span>`}</p>
    <p>${trend.says}</p>
    <${FoldedTable} summary=${W.chart.table} columns=${W.chart.columns}
      rows=${chartRows(trend, known, marks, pond, now_ms)} />
    ${track && html`<p>${track.says}</p><${FoldedTable} summary=${W.track} columns=${W.track_columns}
      rows=${trackRows(track, known)} />`}
    ${trend.point === "pond" && html`<${ScoreLink} subject=${`trend/${trend.quantity}`} pond=${pond.id} />`}
    <${Workings} workings=${trend.workings} />
  </figure>`;
}

/** Day by day: read, worked out or expected, given. @param {Trend} trend @param {import("../../units.js").Shown} known
 * @param {ReturnType<typeof marksFor>} marks @param {Pond} pond @param {number} now_ms @returns {string[][]} */
function chartRows(trend, known, { dots, doses, changes }, pond, now_ms) {
  const say = (/** @type {number} */ value) => shownNumber(known, Number(value.toFixed(known.decimals + 1)));
  const today = civilDate(pond.zone, now_ms);
  /** @type {Map<string, string>} */
  const worked = new Map(trend.past.map(([at, middle]) => [civilDate(pond.zone, Date.parse(at)), say(middle)]));
  for (const [at, low, , high] of trend.forecast) {
    worked.set(civilDate(pond.zone, Date.parse(at)), W.between(say(low), say(high)));
  }
  const of = (/** @type {{on: string}[]} */ list, /** @type {string} */ on, /** @type {(one: any) => string} */ text) =>
    list.filter((one) => one.on === on).map(text).join(", ");
  const days = [...new Set([...worked.keys(), ...[...dots, ...doses, ...changes].map((one) => one.on)])].sort();
  return days.filter((on) => daysBetween(on, today) <= 42).map((on) => [
    dayAndMonth(on), of(dots, on, (one) => say(one.value)), worked.get(on) ?? "",
    [of(doses, on, (one) => `${number(one.g, 0)} g`), of(changes, on, (one) => one.text)].filter(Boolean).join(", ")]);
}

/** @param {import("../../domain/types.js").TrackRecord} track @param {import("../../units.js").Shown} known */
function trackRows(track, known) {
  const say = (/** @type {number} */ value) => shownNumber(known, Number(value.toFixed(known.decimals + 1)));
  return [...track.rows].reverse().map((row) => [
    dayAndMonth(row.on), W.between(say(row.low), say(row.high)), say(row.measured),
    row.measured >= row.low && row.measured <= row.high ? W.inside : W.outside]);
}

/** @param {{plan: Plan, pond: Pond, now_ms: number}} props */
export function BufferPlan({ plan, pond, now_ms }) {
  const today = civilDate(pond.zone, now_ms);
  const evenings = now_ms <= Date.parse(plan.good_until) ? bufferPlan(plan, pond.id, today) : [];
  const known = shownQuantity(plan, pond.id, "kh_dkh");
  if (evenings.length === 0 || !known) return null;
  const rows = evenings.map(({ date, job }) => {
    const { big, small } = amount(job.amount_g ?? 0, pond.capful_g);
    const given = job.state === "held_back" ? words.card.held_back : job.amount_g ? big
      : job.chart?.no_reading_reason ? W.test_first : words.card.stood_down;
    const band = job.amount_g && job.tomorrow
      ? W.between(...job.tomorrow.map((one) => shownNumber(known, Number(one.toFixed(1))))) : "";
    const much = [given, job.amount_g ? small : ""].filter(Boolean).join(" · ");
    return [date === today ? W.tonight : shortDate(date), much, band];
  });
  return html`<section class="part" aria-label=${W.buffer_plan}><h2>${W.buffer_plan}</h2><div class="card-section">
    <${Table} columns=${W.buffer_columns(known.unit)} rows=${rows} />
    <p class="quiet">${W.buffer_hint}</p></div></section>`;
}

/** @param {{water: PondWater}} props */
export function Findings({ water }) {
  return Object.entries(W.sections).map(([section, title]) => {
    const here = water.findings.filter((one) => one.section === section);
    return here.length > 0 && html`<section class="part" key=${section}><h2>${title}</h2>
      <div class="findings">${here.map((one) => html`<${FindingCard} key=${one.id} one=${one}>
        ${one.id === "carbon-life" && html`<${ScoreLink} subject="chlorine_day" pond=${water.pond} />`}
        </${FindingCard}>`)}</div></section>`;
  });
}
