// Whether a tariff's windows fit beside each other. Mirrors the server's domain/warmth/heater/tariff_week.py.

const DAY_MIN = 1440;
const WEEK_MIN = 7 * DAY_MIN;
const DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/** @typedef {{from: string, to: string, days: string[]}} Window   over midnight too; no days: all */

/** Minutes after midnight. @param {string} time "HH:MM" */
function minutes(time) {
  const [hours, rest] = time.split(":").map(Number);
  return hours * 60 + rest;
}

/** @param {Window} window */
export function hasNoLength({ from, to }) {
  return from === to;
}

/** The first two that overlap, by their number, and when in the day; null where none do.
 * @param {Window[]} windows @returns {{one: number, other: number, at: string}|null} */
export function overlapIn(windows) {
  const taken = windows.flatMap(({ from, to, days }, number) => {
    const lasts = (minutes(to) - minutes(from) + DAY_MIN) % DAY_MIN;
    return (days.length > 0 ? days : DAYS).map((day) => {
      const begins = DAYS.indexOf(day) * DAY_MIN + minutes(from);
      return { number, begins, ends: begins + lasts };
    });
  }).sort((a, b) => a.begins - b.begins || a.number - b.number);
  for (let n = 0; n < taken.length; n += 1) {
    const after = n + 1 < taken.length ? taken[n + 1] : { ...taken[0], begins: taken[0].begins + WEEK_MIN };
    if (taken.length > 1 && after.begins < taken[n].ends) {
      const [one, other] = [taken[n].number, after.number].sort((a, b) => a - b);
      return { one, other, at: clockOf(after.begins) };
    }
  }
  return null;
}

/** @param {number} week_min */
function clockOf(week_min) {
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  const of_day = week_min % DAY_MIN;
  return `${two(Math.floor(of_day / 60))}:${two(of_day % 60)}`;
}
