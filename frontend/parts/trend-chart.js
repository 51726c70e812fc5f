// A quantity over time, drawn in SVG: the good band shaded, dots for readings, bars for doses, lines for water changes,
// what was worked out, and a forecast that widens. Its numbers stand in a table for whoever cannot see it.
import { html, useId, useLayoutEffect, useRef, useState } from "../ui.js";
import { civilDate } from "../domain/civil.js";
import { dayAndMonth, number } from "../formats.js";
import { waterWords } from "../water-words.js";
import { words } from "../words.js";

const DAY_MS = 86400000;

/**
 * @typedef {object} TrendProps
 * @property {import("../domain/types.js").Trend} trend
 * @property {import("../units.js").Shown} known
 * @property {{at_ms: number, value: number}[]} dots      stored values
 * @property {{at_ms: number}[]} doses
 * @property {{at_ms: number, text: string}[]} changes
 * @property {string} zone
 * @property {number} now_ms
 */

/** @param {TrendProps} props */
export function TrendChart(props) {
  const box = useRef(/** @type {HTMLElement|null} */ (null));
  const id = useId();
  const [size, measure] = useState({ width: 0, em: 15 });
  useLayoutEffect(() => {
    const here = /** @type {HTMLElement} */ (box.current);
    const look = () => measure({ width: here.clientWidth, em: parseFloat(getComputedStyle(here).fontSize) });
    look();
    const watch = new ResizeObserver(look);
    watch.observe(here);
    return () => watch.disconnect();
  }, []);
  return html`<div class="chart" ref=${box}>
    ${size.width > 0 && html`<${Drawing} ...${props} ...${size} id=${id} />`}</div>`;
}

/** @param {TrendProps & {width: number, em: number, id: string}} props */
function Drawing({ trend, known, dots, doses, changes, zone, now_ms, width, em, id }) {
  const of = (/** @type {number} */ value) => value * known.per + known.offset;
  const first_ms = now_ms - (width < 560 ? 28 : 42) * DAY_MS;
  const inside = (/** @type {{at_ms: number}} */ one) => one.at_ms >= first_ms && one.at_ms <= now_ms;
  const past = trend.past.map(([at, middle]) => ({ at_ms: Date.parse(at), y: of(middle) })).filter(inside);
  const seen = dots.filter(inside).map(({ at_ms, value }) => ({ at_ms, y: of(value) }));
  const ahead = trend.forecast.map(([at, low, middle, high]) =>
    ({ at_ms: Date.parse(at), low: of(low), y: of(middle), high: of(high) }));
  const [low, high] = trend.wanted.map((one) => (one === null ? null : of(one)));
  const ys = [...past, ...seen].map((one) => one.y).concat(ahead.flatMap((one) => [one.low, one.high]));
  if (ys.length === 0) return null;
  const ends = [low, high].filter((one) => one !== null);
  const ticks = ticksBetween(Math.min(...ys, ...ends), Math.max(...ys, ...ends));
  const from_ms = Math.min(now_ms - 7 * DAY_MS, ...past.map((one) => one.at_ms), ...seen.map((one) => one.at_ms));
  const to_ms = Math.max(now_ms + DAY_MS / 2, ...ahead.map((one) => one.at_ms));
  const [left, right, top, base] = [em * 2.1, width - em * 0.4, em * 0.6, em * 10.5];
  const foot = base + (doses.length > 0 ? em * 0.9 : 0);
  const height = foot + em * 1.7;
  const x = (/** @type {number} */ at_ms) => round(left + ((at_ms - from_ms) / (to_ms - from_ms)) * (right - left));
  const [bottom, ceiling] = [ticks[0], ticks[ticks.length - 1]];
  const y = (/** @type {number} */ value) => round(base - ((value - bottom) / (ceiling - bottom)) * (base - top));
  const line = (/** @type {{at_ms: number, y: number}[]} */ points) =>
    points.map((one) => `${x(one.at_ms)},${y(one.y)}`).join(" ");
  const start = past.length > 0 ? [{ ...past[past.length - 1], low: past[past.length - 1].y }] : [];
  const fan = [...start.map((one) => ({ ...one, high: one.y })), ...ahead];
  const wanted_top = y(Math.min(high ?? ceiling, ceiling));
  const label = (/** @type {number} */ at_ms) => dayAndMonth(civilDate(zone, at_ms));
  return html`<svg role="img" aria-labelledby=${id} viewBox=${`0 0 ${width} ${height}`} width=${width} height=${height}>
    <title id=${id}>${spoken(trend.label, known, label, past, seen, ahead, low, high)}</title>
    ${ends.length > 0 && html`<rect class="wanted" x=${left} width=${right - left} y=${wanted_top}
      height=${Math.max(0, y(Math.max(low ?? bottom, bottom)) - wanted_top)} />`}
    ${ticks.map((tick) => html`<path class="grid" key=${tick} d=${`M${left} ${y(tick)}H${right}`} />
      <text x=${left - em * 0.4} y=${y(tick) + em * 0.33} text-anchor="end">${number(tick)}</text>`)}
    ${changes.filter(inside).map((one) => html`<g key=${one.at_ms}><title>${one.text}</title>
      <path class="change" d=${`M${x(one.at_ms)} ${top}V${base}`} /></g>`)}
    <path class="today" d=${`M${x(now_ms)} ${top}V${foot}`} />
    ${doses.filter(inside).map((one) => html`<path class="dose" key=${one.at_ms}
      d=${`M${x(one.at_ms)} ${base + em * 0.25}v${em * 0.6}`} />`)}
    <polygon class="fan" points=${`${line(fan.map((one) => ({ ...one, y: one.high })))} ${
      line(fan.map((one) => ({ ...one, y: one.low })).reverse())}`} />
    <polyline class="ahead" points=${line(fan)} />
    <polyline class="past" points=${line(past)} />
    ${seen.map((one) => html`<circle class="dot" key=${one.at_ms} cx=${x(one.at_ms)} cy=${y(one.y)} r=${em * 0.28} />`)}
    <text x=${left} y=${height - em * 0.3}>${label(from_ms)}</text>
    <text x=${x(now_ms) - em * 0.3} y=${top + em} text-anchor="end">${waterWords.chart.today}</text>
    ${ahead.length > 0 && html`<text x=${right} y=${height - em * 0.3} text-anchor="end">${label(to_ms)}</text>`}
  </svg>`;
}

/** @param {number} value */
function round(value) {
  return Math.round(value * 10) / 10;
}

/** Three to seven round numbers that hold both. @param {number} low @param {number} high */
function ticksBetween(low, high) {
  const span = Math.max(high - low, Math.abs(high) * 0.05, 1e-6);
  const ten = 10 ** Math.floor(Math.log10(span / 4));
  const step = ([1, 2, 5, 10].find((one) => one * ten * 6 >= span) ?? 10) * ten;
  const first = Math.floor(low / step + 1e-9);
  const count = Math.max(2, Math.ceil(high / step - 1e-9) - first + 1);
  return Array.from({ length: count }, (_, n) => Number(((first + n) * step).toPrecision(6)));
}

/** The chart in a sentence. @param {string} label @param {import("../units.js").Shown} known
 * @param {(at_ms: number) => string} day @param {{at_ms: number, y: number}[]} past
 * @param {{at_ms: number, y: number}[]} seen @param {{at_ms: number, low: number, high: number}[]} ahead
 * @param {number|null} low @param {number|null} high */
function spoken(label, known, day, past, seen, ahead, low, high) {
  const say = (/** @type {number} */ value) => number(Number(value.toFixed(known.decimals)));
  const line = seen.length > 1 ? seen : past;
  const [first, last, end] = [line[0], line[line.length - 1], ahead[ahead.length - 1]];
  const W = waterWords.chart;
  return [
    first && W.from(label, say(first.y), day(first.at_ms), say(last.y), day(last.at_ms), known.unit),
    end && W.expected(say(end.low), say(end.high), day(end.at_ms)),
    W.wanted(low === null ? "" : say(low), high === null ? "" : say(high)),
  ].filter(Boolean).join(" ");
}
