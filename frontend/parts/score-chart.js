// Forecasts against what came: each a bar from low to high on its day, with a dot where the truth lay. The numbers
// stand in a table beside it.
import { html, useId } from "../ui.js";
import { dayAndMonth, number } from "../formats.js";
import { scoreWords } from "../words/kit-words.js";
import { tenth, ticksBetween } from "./chart-frame.js";
import { Sized } from "./sized.js";

/** @typedef {import("../domain/types.js").Score} Score */

/** @param {{score: Score}} props */
export function ScoreChart({ score }) {
  return html`<${Sized} drawing=${Drawing} score=${score} />`;
}

/** @param {{score: Score, width: number, em: number}} props */
function Drawing({ score, width, em }) {
  const id = useId();
  const rows = [...score.rows].sort((a, b) => (a.on < b.on ? -1 : 1));
  const ticks = ticksBetween(Math.min(...rows.flatMap((one) => [one.low, one.measured])),
    Math.max(...rows.flatMap((one) => [one.high, one.measured])));
  const figures = Math.max(...ticks.map((tick) => number(tick).length));
  const [left, right, top, base] = [em * Math.max(2.1, 0.6 + 0.65 * figures), width - em * 0.6, em * 0.6, em * 9.5];
  const [bottom, span] = [ticks[0], ticks[ticks.length - 1] - ticks[0]];
  const y = (/** @type {number} */ value) => tenth(base - ((value - bottom) / span) * (base - top));
  const x = (/** @type {number} */ n) => tenth(left + ((n + 0.5) / rows.length) * (right - left));
  const half = Math.min(em * 0.35, (right - left) / rows.length / 3);
  const height = base + em * 1.7;
  return html`<svg role="img" aria-labelledby=${id} viewBox=${`0 0 ${width} ${height}`} width=${width} height=${height}>
    <title id=${id}>${scoreWords.chart(score.title, rows.length)}</title>
    ${ticks.map((tick) => html`<path class="grid" key=${tick} d=${`M${left} ${y(tick)}H${right}`} />
      <text x=${left - em * 0.4} y=${y(tick) + em * 0.33} text-anchor="end">${number(tick)}</text>`)}
    ${rows.map((one, n) => html`<g key=${one.on}><title>${dayAndMonth(one.on)}</title>
      <rect class="fan" x=${tenth(x(n) - half)} width=${tenth(2 * half)} y=${y(one.high)}
        height=${Math.max(1, tenth(y(one.low) - y(one.high)))} />
      <circle class="dot" cx=${x(n)} cy=${y(one.measured)} r=${tenth(Math.max(em * 0.16, Math.min(em * 0.28, half)))} />
    </g>`)}
    <text x=${left} y=${height - em * 0.3}>${dayAndMonth(rows[0].on)}</text>
    ${rows.length > 1 && html`<text x=${right} y=${height - em * 0.3}
      text-anchor="end">${dayAndMonth(rows[rows.length - 1].on)}</text>`}
  </svg>`;
}
