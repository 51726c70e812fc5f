// Where everything on the chart of the night stands: pure geometry, in pixels; nothing is drawn here.
import { tenth, ticksBetween } from "./chart-frame.js";

/** @typedef {import("./chart-frame.js").Dot} Dot */
/** @typedef {Dot & {low: number, high: number}} Band */

const HOUR_MS = 3600000;
/** How far back readings are shown before the night begins. */
const BEFORE_MS = 8 * HOUR_MS;

/**
 * @typedef {object} Night
 * @property {Band[]} covered
 * @property {Band[]} bare
 * @property {Dot[]} planned
 * @property {Dot[]} measured
 * @property {number[]} ticks
 * @property {{x: number, width: number}[]} cheap
 * @property {{at_ms: number, air: number|null, anchor: string}[]} times   those there is room to name, in order
 * @property {{left: number, right: number, top: number, base: number, height: number}} edge
 * @property {(at_ms: number) => number} x
 * @property {(value: number) => number} y
 */

/** @param {{tonight: import("../domain/types.js").Tonight, known: import("../units.js").Shown, width: number,
 *   em: number, midnight_ms: number}} given @returns {Night|null} nothing where there is nothing to show */
export function nightFrame({ tonight, known, width, em, midnight_ms }) {
  const of = (/** @type {number} */ c) => c * known.per + known.offset;
  const fan = (/** @type {import("../domain/types.js").Fan} */ points) => points.map(([at, low, middle, high]) =>
    ({ at_ms: Date.parse(at), low: of(low), y: of(middle), high: of(high) }));
  const line = (/** @type {import("../domain/types.js").Line} */ points) =>
    points.map(([at, c]) => ({ at_ms: Date.parse(at), y: of(c) }));
  const [covered, bare, air] = [fan(tonight.covered), fan(tonight.bare), line(tonight.air)];
  const all = [...covered, ...bare];
  if (all.length < 2) return null;
  const [start_ms, to_ms] = [Math.min(...all.map(at)), Math.max(...all.map(at))];
  const planned = line(tonight.planned).filter((one) => one.at_ms <= to_ms);
  const measured = line(tonight.measured).filter((one) => one.at_ms >= start_ms - BEFORE_MS && one.at_ms <= to_ms);
  const from_ms = Math.min(start_ms, ...measured.map(at));
  const ys = [...all.flatMap((one) => [one.low, one.high]), ...[...planned, ...measured].map((one) => one.y)];
  const ticks = ticksBetween(Math.min(...ys), Math.max(...ys));
  const figures = Math.max(...ticks.map((tick) => String(tick).length));
  const [left, right, top, base] = [em * Math.max(2.3, 1.1 + 0.6 * figures), width - em * 0.4, em * 0.6, em * 11];
  const [bottom, span] = [ticks[0], ticks[ticks.length - 1] - ticks[0]];
  const x = (/** @type {number} */ at_ms) => tenth(left + ((at_ms - from_ms) / (to_ms - from_ms)) * (right - left));
  const inside = (/** @type {string} */ moment) => Math.min(to_ms, Math.max(from_ms, Date.parse(moment)));
  const cheap = tonight.cheap.map(([begins, ends]) => [x(inside(begins)), x(inside(ends))])
    .map(([one, other]) => ({ x: one, width: other - one }))
    .filter((one) => one.width > 0);
  const wanted = [from_ms, to_ms, Date.parse(tonight.dawn_at), midnight_ms, start_ms];
  const times = withRoom(wanted.filter((one) => one >= from_ms && one <= to_ms), x, em * 3.4)
    .map((at_ms) => ({ at_ms, air: nearest(air, at_ms), anchor: at_ms === from_ms ? "start"
      : at_ms === to_ms ? "end" : "middle" }));
  return {
    covered, bare, planned, measured, ticks, cheap, times, x,
    edge: { left, right, top, base, height: base + em * (air.length > 0 ? 3 : 1.7) },
    y: (value) => tenth(base - ((value - bottom) / span) * (base - top)),
  };
}

/** @param {{at_ms: number}} one */
function at({ at_ms }) {
  return at_ms;
}

/** Those first named that stand far enough from one another [px], in order. The first two are the ends, whose names
 * reach inwards only, and so further.
 * @param {number[]} wanted @param {(at_ms: number) => number} x @param {number} room */
function withRoom(wanted, x, room) {
  const ends = wanted.slice(0, 2);
  const apart = (/** @type {number} */ one, /** @type {number} */ other) =>
    Math.abs(x(one) - x(other)) >= (ends.includes(other) ? 1.4 : 1) * room;
  /** @type {number[]} */
  const placed = [];
  for (const one of wanted) if (placed.every((other) => apart(one, other))) placed.push(one);
  return placed.sort((a, b) => a - b);
}

/** @param {Dot[]} line @param {number} at_ms @returns {number|null} its value there, within an hour */
function nearest(line, at_ms) {
  const [best] = [...line].sort((a, b) => Math.abs(a.at_ms - at_ms) - Math.abs(b.at_ms - at_ms));
  return best && Math.abs(best.at_ms - at_ms) <= HOUR_MS ? best.y : null;
}
