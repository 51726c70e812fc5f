// A quantity over time, drawn in SVG: the good band shaded, dots for readings, bars for doses, lines for water changes,
// what was worked out, and a forecast that widens. Its numbers stand in a table for whoever cannot see it.
import { html, useId } from "../ui.js";
import { civilDate } from "../domain/civil.js";
import { dayAndMonth, number } from "../formats.js";
import { frameOf } from "./chart-frame.js";
import { Sized } from "./sized.js";
import { waterWords } from "../words/water-words.js";
import { words } from "../words.js";

/** @typedef {import("./chart-frame.js").Frame} Frame */

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
  return html`<${Sized} drawing=${Drawing} ...${props} />`;
}

/** @param {TrendProps & {width: number, em: number}} props */
function Drawing(props) {
  const { trend, known, doses, changes, zone, now_ms, width, em } = props;
  const id = useId();
  const frame = frameOf(props);
  if (!frame) return null;
  const { seen, ticks, x, y, inside, edge: { left, right, top, base, foot, height } } = frame;
  const label = (/** @type {number} */ at_ms) => dayAndMonth(civilDate(zone, at_ms));
  const below = height - em * 0.3;
  return html`<svg role="img" aria-labelledby=${id} viewBox=${`0 0 ${width} ${height}`} width=${width} height=${height}>
    <title id=${id}>${spoken(trend.label, known, label, frame)}</title>
    <${Wanted} frame=${frame} />
    ${ticks.map((tick) => html`<path class="grid" key=${tick} d=${`M${left} ${y(tick)}H${right}`} />
      <text x=${left - em * 0.4} y=${y(tick) + em * 0.33} text-anchor="end">${number(tick)}</text>`)}
    ${changes.filter(inside).map((one) => html`<g key=${one.at_ms}><title>${one.text}</title>
      <path class="change" d=${`M${x(one.at_ms)} ${top}V${base}`} /></g>`)}
    <path class="today" d=${`M${x(now_ms)} ${top}V${foot}`} />
    ${doses.filter(inside).map((one) => html`<path class="dose" key=${one.at_ms}
      d=${`M${x(one.at_ms)} ${base + em * 0.25}v${em * 0.6}`} />`)}
    <${Lines} frame=${frame} />
    ${seen.map((one) => html`<circle class="dot" key=${one.at_ms} cx=${x(one.at_ms)} cy=${y(one.y)} r=${em * 0.28} />`)}
    <text x=${left} y=${below}>${label(frame.from_ms)}</text>
    <text x=${x(now_ms) - em * 0.3} y=${top + em} text-anchor="end">${waterWords.chart.today}</text>
    ${frame.ahead.length > 0 && html`<text x=${right} y=${below} text-anchor="end">${label(frame.to_ms)}</text>`}
  </svg>`;
}

/** @param {{frame: Frame}} props */
function Wanted({ frame: { low, high, y, edge } }) {
  if (low === null && high === null) return null;
  const [upper, lower] = [high === null ? edge.top : y(high), low === null ? edge.base : y(low)];
  return html`<rect class="wanted" x=${edge.left} width=${edge.right - edge.left} y=${upper}
    height=${Math.max(0, lower - upper)} />`;
}

/** What was worked out, and from its end the forecast with its band. @param {{frame: Frame}} props */
function Lines({ frame: { past, ahead, x, y } }) {
  const line = (/** @type {import("./chart-frame.js").Dot[]} */ points) =>
    points.map((one) => `${x(one.at_ms)},${y(one.y)}`).join(" ");
  const last = past[past.length - 1];
  const fan = last ? [{ ...last, low: last.y, high: last.y }, ...ahead] : ahead;
  const lower = fan.map((one) => ({ ...one, y: one.low })).reverse();
  return html`<polygon class="fan" points=${`${line(fan.map((one) => ({ ...one, y: one.high })))} ${line(lower)}`} />
    <polyline class="ahead" points=${line(fan)} /><polyline class="past" points=${line(past)} />`;
}

/** The chart in a sentence. @param {string} label @param {import("../units.js").Shown} known
 * @param {(at_ms: number) => string} day @param {Frame} frame */
function spoken(label, known, day, { past, seen, ahead, low, high }) {
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
