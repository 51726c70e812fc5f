// Where everything on a trend chart stands: pure geometry, in pixels; nothing is drawn here.

const DAY_MS = 86400000;
const NARROW_PX = 560;

/** @typedef {{at_ms: number, y: number}} Dot   `y` in the unit shown */

/**
 * @typedef {object} Frame
 * @property {Dot[]} past
 * @property {Dot[]} seen
 * @property {(Dot & {low: number, high: number})[]} ahead
 * @property {number|null} low     of what is wanted
 * @property {number|null} high
 * @property {number[]} ticks
 * @property {number} from_ms
 * @property {number} to_ms
 * @property {{left: number, right: number, top: number, base: number, foot: number, height: number}} edge
 * @property {(at_ms: number) => number} x
 * @property {(value: number) => number} y
 * @property {(one: {at_ms: number}) => boolean} inside   whether it is on the chart
 */

/** @param {{trend: import("../domain/types.js").Trend, known: import("../units.js").Shown, now_ms: number,
 *   dots: {at_ms: number, value: number}[], doses: any[], width: number, em: number}} given
 * @returns {Frame|null} nothing where there is nothing to show */
export function frameOf({ trend, known, dots, doses, now_ms, width, em }) {
  const of = (/** @type {number} */ value) => value * known.per + known.offset;
  const first_ms = now_ms - (width < NARROW_PX ? 28 : 42) * DAY_MS;
  const inside = (/** @type {{at_ms: number}} */ one) => one.at_ms >= first_ms && one.at_ms <= now_ms;
  const past = trend.past.map(([at, middle]) => ({ at_ms: Date.parse(at), y: of(middle) })).filter(inside);
  const seen = dots.filter(inside).map(({ at_ms, value }) => ({ at_ms, y: of(value) }));
  const ahead = trend.forecast.map(([at, low, middle, high]) =>
    ({ at_ms: Date.parse(at), low: of(low), y: of(middle), high: of(high) }));
  const [low, high] = trend.wanted.map((one) => (one === null ? null : of(one)));
  const ys = [...past, ...seen].map((one) => one.y).concat(ahead.flatMap((one) => [one.low, one.high]));
  if (ys.length === 0) return null;
  // An end of what is wanted is shown when it is near; a far one would press the line flat.
  const reach = (Math.max(...ys) - Math.min(...ys)) / 2;
  const near = (/** @type {number|null} */ one) =>
    one !== null && one >= Math.min(...ys) - reach && one <= Math.max(...ys) + reach;
  const ends = /** @type {number[]} */ ([low, high].filter(near));
  const ticks = ticksBetween(Math.min(...ys, ...ends), Math.max(...ys, ...ends));
  const from_ms = Math.min(now_ms - 7 * DAY_MS, ...[...past, ...seen].map((one) => one.at_ms));
  const to_ms = Math.max(now_ms + DAY_MS / 2, ...ahead.map((one) => one.at_ms));
  const figures = Math.max(...ticks.map((tick) => String(tick).length));
  const [left, right, top, base] = [em * Math.max(2.1, 0.6 + 0.65 * figures), width - em * 0.4, em * 0.6, em * 10.5];
  const foot = base + (doses.length > 0 ? em * 0.9 : 0);
  const [bottom, span] = [ticks[0], ticks[ticks.length - 1] - ticks[0]];
  return {
    past, seen, ahead, low, high, ticks, from_ms, to_ms, inside,
    edge: { left, right, top, base, foot, height: foot + em * 1.7 },
    x: (at_ms) => tenth(left + ((at_ms - from_ms) / (to_ms - from_ms)) * (right - left)),
    y: (value) => tenth(base - (Math.min(1, Math.max(0, (value - bottom) / span))) * (base - top)),
  };
}

/** To a tenth of a pixel. @param {number} value */
export function tenth(value) {
  return Math.round(value * 10) / 10;
}

/** Three to seven round numbers that hold both. @param {number} low @param {number} high */
export function ticksBetween(low, high) {
  const span = Math.max(high - low, Math.abs(high) * 0.05, 1e-6);
  const ten = 10 ** Math.floor(Math.log10(span / 4));
  const step = ([1, 2, 5, 10].find((one) => one * ten * 6 >= span) ?? 10) * ten;
  const first = Math.floor(low / step + 1e-9);
  const count = Math.max(2, Math.ceil(high / step - 1e-9) - first + 1);
  return Array.from({ length: count }, (_, n) => Number(((first + n) * step).toPrecision(6)));
}
