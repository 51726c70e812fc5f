// The water tonight, drawn in SVG: covered (a line with its band), open (dashed), as planned (dotted), readings as
// dots, cheap hours washed, dawn marked, the air in figures below. Its numbers stand in a table for whoever cannot see
// it.
import { html, useId } from "../ui.js";
import { addDays, civilDate, instantOf } from "../domain/civil.js";
import { clock, number } from "../formats.js";
import { warmthWords } from "../words/warmth-words.js";
import { nightFrame } from "./night-frame.js";
import { Sized } from "./sized.js";

const W = warmthWords.chart;

/** @typedef {import("./night-frame.js").Night} Night */
/** @typedef {import("./chart-frame.js").Dot} Dot */

/** @typedef {{tonight: import("../domain/types.js").Tonight, known: import("../units.js").Shown, zone: string}}
 *   NightProps */

/** @param {NightProps} props */
export function NightChart(props) {
  return html`<${Sized} drawing=${Drawing} ...${props} />`;
}

/** @param {NightProps & {width: number, em: number}} props */
function Drawing({ tonight, known, zone, width, em }) {
  const id = useId();
  const start_ms = Date.parse(tonight.covered[0]?.[0] ?? tonight.dawn_at);
  const midnight_ms = instantOf(zone, addDays(civilDate(zone, start_ms), 1), "00:00");
  const night = nightFrame({ tonight, known, width, em, midnight_ms });
  if (!night) return null;
  const { ticks, x, y, edge: { left, right, top, base, height } } = night;
  const dawn = x(Date.parse(tonight.dawn_at));
  return html`<svg role="img" aria-labelledby=${id} viewBox=${`0 0 ${width} ${height}`} width=${width} height=${height}>
    <title id=${id}>${spoken(tonight, known, zone)}</title>
    ${night.cheap.map((one) => html`<rect class="cheap" key=${one.x} x=${one.x} width=${one.width} y=${top}
      height=${base - top} /><text x=${one.x + em * 0.25} y=${top + em}>${cheapWords(one, right, em)}</text>`)}
    ${ticks.map((tick) => html`<path class="grid" key=${tick} d=${`M${left} ${y(tick)}H${right}`} />
      <text x=${left - em * 0.4} y=${y(tick) + em * 0.33} text-anchor="end">${number(tick)}°</text>`)}
    ${dawn >= left && dawn <= right && html`<path class="today" d=${`M${dawn} ${top}V${base}`} />
      <text x=${dawn - em * 0.3} y=${base - em * 0.4} text-anchor="end">${W.dawn(clock(tonight.dawn_at, zone))}</text>`}
    <${Lines} night=${night} />
    ${night.measured.map((one) => html`<circle class="dot" key=${one.at_ms} cx=${x(one.at_ms)} cy=${y(one.y)}
      r=${em * 0.28} />`)}
    <${Names} night=${night} em=${em} />
    ${night.times.map((one) => html`<g key=${one.at_ms} text-anchor=${one.anchor}>
      <text x=${x(one.at_ms)} y=${base + em * 1.3}>${clock(new Date(one.at_ms).toISOString(), zone)}</text>
      ${one.air !== null && html`<text x=${x(one.at_ms)} y=${base + em * 2.6}>${number(one.air, 0)}°</text>`}</g>`)}
    ${night.times.some(({ air }) => air !== null) && html`<text x="0" y=${base + em * 2.6}>${W.air}</text>`}
  </svg>`;
}

/** What there is room for, left of where the lines are named; the key below says it too.
 * @param {{x: number, width: number}} window @param {number} right @param {number} em */
function cheapWords({ x, width }, right, em) {
  const room = Math.min(width, right - em * 5.2 - x);
  return room > em * 5.8 ? W.cheap_hours : room > em * 3.2 ? W.cheap : "";
}

/** @param {{night: Night}} props */
function Lines({ night: { covered, bare, planned, x, y } }) {
  const points = (/** @type {{at_ms: number, y: number}[]} */ line) =>
    line.map((one) => `${x(one.at_ms)},${y(one.y)}`).join(" ");
  const fan = (/** @type {import("./night-frame.js").Band[]} */ line) => `${points(line.map((one) =>
    ({ ...one, y: one.high })))} ${points(line.map((one) => ({ ...one, y: one.low })).reverse())}`;
  return html`<polygon class="fan bare" points=${fan(bare)} /><polygon class="fan" points=${fan(covered)} />
    <polyline class="bare-line" points=${points(bare)} /><polyline class="past" points=${points(covered)} />
    <polyline class="planned-line" points=${points(planned)} />`;
}

/** The two lines named at their right end, the upper one above its own. @param {{night: Night, em: number}} props */
function Names({ night: { covered, bare, y, edge: { right, top, base } }, em }) {
  const ends = [{ of: covered, name: W.covered }, { of: bare, name: W.open }].filter(({ of }) => of.length > 0)
    .map(({ of, name }) => ({ name, end: of[of.length - 1] })).sort((a, b) => b.end.y - a.end.y);
  return ends.map(({ name, end }, n) => {
    const wanted = n === 0 ? y(end.high) - em * 0.45 : y(end.low) + em * 1.15;
    return html`<text class="line-name" key=${name} x=${right - em * 0.2} text-anchor="end"
      y=${Math.min(base - em * 0.4, Math.max(top + em * 0.8, wanted))}>${name}</text>`;
  });
}

/** The chart in a sentence. @param {import("../domain/types.js").Tonight} tonight
 * @param {import("../units.js").Shown} known @param {string} zone */
function spoken({ covered_dawn, bare_dawn, dawn_at }, known, zone) {
  const say = (/** @type {number} */ c) => number(Number((c * known.per + known.offset).toFixed(1)));
  const of = (/** @type {[number, number, number]} */ [low, middle, high]) =>
    W.from_to(say(middle), say(low), say(high));
  return W.spoken(clock(dawn_at, zone), of(covered_dawn), of(bare_dawn), known.unit);
}
