// One fish's length over the years: dots for what was measured, its curve with the band around it, and what its own
// past foretold of the last length. The numbers stand in a table for whoever cannot see it.
import { html, useId } from "../../ui.js";
import { TOTAL_PER_STANDARD } from "../../domain/fish-doubts.js";
import { number } from "../../formats.js";
import { growthWords } from "../../words/fish-words.js";
import { tenth, ticksBetween } from "../../parts/chart-frame.js";
import { Sized } from "../../parts/sized.js";
import { FoldedTable } from "../../parts/workings.js";
import { fullDate } from "../past/past-understood.js";

/** @typedef {import("../../domain/fish-types.js").FishState} FishState */
/** @typedef {{on: string, cm: number, counts: boolean}} Length   total */

const W = growthWords;
const YEAR_MS = 365.25 * 86400000;
/** The least the scale reaches either way, so that the tape's own error looks as small as it is [cm]. */
const ROOM_CM = 3;

/** Those a chart can show: one that does not count may be a tenth of what it was, and would press the rest flat.
 * @param {Length[]} lengths */
function drawable(lengths) {
  const told = lengths.filter((one) => one.counts).map((one) => one.cm);
  if (told.length === 0) return lengths;
  const [low, high] = [Math.min(...told) * 0.7, Math.max(...told) * 1.4];
  return lengths.filter((one) => one.counts || (one.cm >= low && one.cm <= high));
}

/** Oldest first. @param {FishState} fish @returns {Length[]} */
function lengthsOf({ measures }) {
  return [...measures].reverse().flatMap(({ on, length_cm, length_is, length_total_cm, counts }) => {
    if (length_cm === null) return [];
    return { on, counts, cm: length_total_cm ?? length_cm * (length_is === "standard" ? TOTAL_PER_STANDARD : 1) };
  });
}

/** Nothing until there are two lengths to join. @param {{fish: FishState}} props */
export function GrowthChart({ fish }) {
  const lengths = lengthsOf(fish);
  if (new Set(drawable(lengths).map((one) => one.on)).size < 2) return null;
  const { curve, against_past } = fish;
  const onCurve = new Map((curve?.points ?? []).map(([on, low, middle, high]) =>
    [on, `${number(middle, 1)} (${W.between(number(low, 1), number(high, 1))})`]));
  const rows = [...lengths].reverse().map(({ on, cm, counts }) =>
    [fullDate(on), counts ? number(cm, 1) : W.not_counted_of(number(cm, 1)), onCurve.get(on) ?? ""]);
  const drawn = drawable(lengths);
  return html`<p class="quiet">${W.what}</p><${Sized} drawing=${Drawing} fish=${fish} lengths=${drawn} />
    <p class="key"><span class="key-dot">${W.measured}</span>
      ${drawn.some((one) => !one.counts) && html`<span class="key-cross">${W.not_counted}</span>`}
      ${curve && html`<span class="key-curve">${W.curve}</span>`}
      ${against_past && html`<span class="key-foretold">${W.foretold}</span>`}</p>
    <${FoldedTable} summary=${W.table} columns=${curve ? W.columns : W.columns.slice(0, 2)}
      rows=${curve ? rows : rows.map((row) => row.slice(0, 2))} />`;
}

/** @param {{fish: FishState, lengths: Length[], width: number, em: number}} props */
function Drawing({ fish, lengths, width, em }) {
  const id = useId();
  const { curve, against_past: past } = fish;
  const points = (curve?.points ?? []).map(([on, low, middle, high]) => ({ on, low, middle, high }));
  const counting = lengths.filter((one) => one.counts);
  const ys = [...lengths.flatMap(({ cm }) => [cm - ROOM_CM, cm + ROOM_CM]),
    ...points.flatMap((one) => [one.low, one.high]), ...past ? [past.total_cm.low, past.total_cm.high] : []];
  const ticks = ticksBetween(Math.max(0, Math.min(...ys)), Math.max(...ys));
  const dates = [...lengths, ...points].map((one) => Date.parse(one.on));
  const [from_ms, to_ms] = [Math.min(...dates), Math.max(...dates)];
  const [left, right, top, base] = [em * 2.4, width - em * 0.9, em * 0.6, em * 11];
  const [bottom, upper] = [ticks[0], ticks[ticks.length - 1]];
  const height = base + em * 1.7;
  const x = (/** @type {string} */ on) =>
    tenth(left + em * 0.6 + ((Date.parse(on) - from_ms) / (to_ms - from_ms)) * (right - left - em * 0.6));
  const y = (/** @type {number} */ cm) => tenth(base - ((cm - bottom) / (upper - bottom)) * (base - top));
  const line = (/** @type {"low"|"middle"|"high"} */ of, along = points) =>
    along.map((one) => `${x(one.on)},${y(one[of])}`).join(" ");
  const bar = past && { x: x(past.on) - em * 0.7, low: y(past.total_cm.low), high: y(past.total_cm.high), w: em * 0.3 };
  return html`<svg role="img" aria-labelledby=${id} viewBox=${`0 0 ${width} ${height}`} width=${width} height=${height}>
    <title id=${id}>${spoken(fish, counting)}</title>
    ${ticks.map((tick) => html`<path class="grid" key=${tick} d=${`M${left} ${y(tick)}H${right}`} />
      <text x=${left - em * 0.4} y=${y(tick) + em * 0.33} text-anchor="end">${number(tick)}</text>`)}
    <${Years} from_ms=${from_ms} to_ms=${to_ms} x=${x} top=${top} base=${base} em=${em} ends=${[left, right]} />
    ${points.length > 0 && html`<polygon class="fan"
        points=${`${line("high")} ${line("low", [...points].reverse())}`} />
      <polyline class="past" points=${line("middle")} />`}
    ${bar && html`<path class="foretold" d=${`M${bar.x - bar.w} ${bar.high}h${2 * bar.w}M${bar.x - bar.w} ${bar.low}h${
      2 * bar.w}M${bar.x} ${bar.high}V${bar.low}`} />`}
    ${lengths.map(({ on, cm, counts }, n) => (counts
      ? html`<circle class="dot" key=${n} cx=${x(on)} cy=${y(cm)} r=${em * 0.28} />`
      : html`<path class="cross" key=${n}
        d=${`M${x(on) - em * 0.3} ${y(cm) - em * 0.3}l${em * 0.6} ${em * 0.6}m0 ${-em * 0.6}l${-em * 0.6} ${
          em * 0.6}`} />`))}
  </svg>`;
}

/** Years as they turn; over less than two of them the first and last date.
 * @param {{from_ms: number, to_ms: number, x: (on: string) => number, top: number, base: number, em: number,
 *   ends: [number, number]}} props */
function Years({ from_ms, to_ms, x, top, base, em, ends: [left, right] }) {
  const below = base + em * 1.4;
  const day = (/** @type {number} */ ms) => new Date(ms).toISOString().slice(0, 10);
  if (to_ms - from_ms < 2 * YEAR_MS) {
    return html`<text x=${left} y=${below}>${fullDate(day(from_ms))}</text>
      <text x=${right} y=${below} text-anchor="end">${fullDate(day(to_ms))}</text>`;
  }
  const [first, last] = [new Date(from_ms).getUTCFullYear() + 1, new Date(to_ms).getUTCFullYear()];
  const every = Math.ceil((last - first + 1) / Math.max(1, Math.floor((right - left) / (em * 3.2))));
  const years = Array.from({ length: last - first + 1 }, (_, n) => first + n)
    .filter((one) => (last - one) % every === 0);
  return years.map((year) => html`<path class="grid" key=${year} d=${`M${x(`${year}-01-01`)} ${top}V${base}`} />
    <text x=${x(`${year}-01-01`)} y=${below} text-anchor="middle">${year}</text>`);
}

/** The chart in a sentence. @param {FishState} fish @param {Length[]} counting */
function spoken({ name, curve, against_past }, counting) {
  const [first, last] = [counting[0], counting[counting.length - 1]];
  const grew = first && last
    ? W.from(name, number(first.cm, 1), fullDate(first.on), number(last.cm, 1), fullDate(last.on)) : name;
  return [grew, curve?.says, against_past?.says].filter(Boolean).join(" ");
}
