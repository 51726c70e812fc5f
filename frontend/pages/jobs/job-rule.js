// Recurrence rules of RFC 5545 as plain choices, and what can be seen wrong in one before home has read it.
import { whenWords } from "../../words/jobs-words.js";

const W = whenWords;

/** @typedef {{rule: string, nth?: string, weekday?: string, month_day?: number, apart?: number, month?: string,
 *   weekdays?: string[], own_rule?: string}} RuleChoice   `rule`: which of the plain choices, or "own" */

const DAY = "MO|TU|WE|TH|FR|SA|SU";
const APART = "(?:;INTERVAL=(\\d+))?";
/** @type {[RegExp, (found: RegExpMatchArray) => RuleChoice][]} */
const PLAIN = [
  [new RegExp(`^FREQ=MONTHLY${APART};BYDAY=(-1|[1-4])(${DAY})$`), ([, apart, nth, weekday]) =>
    ({ rule: "month_weekday", apart: Number(apart ?? 1), nth, weekday })],
  [new RegExp(`^FREQ=MONTHLY${APART};BYMONTHDAY=([1-9]|[12]\\d|3[01])$`), ([, apart, day]) =>
    ({ rule: "month_day", apart: Number(apart ?? 1), month_day: Number(day) })],
  [new RegExp(`^FREQ=WEEKLY${APART};BYDAY=((?:${DAY})(?:,(?:${DAY}))*)$`), ([, apart, days]) =>
    ({ rule: "weeks", apart: Number(apart ?? 1), weekdays: days.split(",") })],
  [/^FREQ=YEARLY;BYMONTH=([1-9]|1[0-2]);BYMONTHDAY=([1-9]|[12]\d|3[01])$/, ([, month, day]) =>
    ({ rule: "year_day", month, month_day: Number(day) })],
  [new RegExp(`^FREQ=YEARLY;BYMONTH=([1-9]|1[0-2]);BYDAY=(-1|[1-4])(${DAY})$`), ([, month, nth, weekday]) =>
    ({ rule: "year_weekday", month, nth, weekday })],
];

/** @param {string} rule @returns {RuleChoice} */
export function choiceOf(rule) {
  for (const [pattern, choice] of PLAIN) {
    const found = rule.match(pattern);
    if (found) return choice(found);
  }
  return { rule: "own", own_rule: rule };
}

/** @param {RuleChoice} choice @returns {string} */
export function ruleOf({ rule, nth, weekday, month_day, apart, month, weekdays, own_rule }) {
  const interval = (apart ?? 1) > 1 ? `;INTERVAL=${apart}` : "";
  if (rule === "month_weekday") return `FREQ=MONTHLY${interval};BYDAY=${nth}${weekday}`;
  if (rule === "month_day") return `FREQ=MONTHLY${interval};BYMONTHDAY=${month_day}`;
  if (rule === "weeks") return `FREQ=WEEKLY${interval};BYDAY=${(weekdays ?? []).join(",")}`;
  if (rule === "year_day") return `FREQ=YEARLY;BYMONTH=${month};BYMONTHDAY=${month_day}`;
  if (rule === "year_weekday") return `FREQ=YEARLY;BYMONTH=${month};BYDAY=${nth}${weekday}`;
  return (own_rule ?? "").trim().toUpperCase().replace(/^RRULE:/, "").replace(/;$/, "");
}

/** "on the first Saturday of each month" @param {string} rule */
export function ruleWords(rule) {
  const { rule: kind, nth = "", weekday = "", month_day = 0, apart = 1, month = "", weekdays } = choiceOf(rule);
  const nths = /** @type {Record<string, string>} */ (W.nths);
  const long = /** @type {Record<string, string>} */ (W.weekdays_long);
  const months = /** @type {Record<string, string>} */ (W.months);
  if (kind === "month_weekday") return W.says.month_weekday(nths[nth], long[weekday], apart);
  if (kind === "month_day") return W.says.month_day(month_day, apart);
  if (kind === "weeks") return W.says.weeks(apart, (weekdays ?? []).map((one) => long[one]).join(W.says.and));
  if (kind === "year_day") return W.says.year_day(month_day, months[month]);
  return kind === "year_weekday" ? W.says.year_weekday(nths[nth], long[weekday], months[month])
    : /** @type {Record<string, string>} */ (W.says.bare)[rule] ?? W.says.own(rule);
}

const DAYS_IN = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** The longest that month can be. @param {number} month 1 to 12 */
export function daysIn(month) {
  return DAYS_IN[month - 1];
}

const within = (/** @type {number} */ most, negative = true) => (/** @type {string} */ text) => {
  const value = Number(text);
  return Number.isInteger(value) && Math.abs(value) >= 1 && Math.abs(value) <= most && (negative || value > 0);
};
const FREQS = ["DAILY", "WEEKLY", "MONTHLY", "YEARLY"];
const FINE = ["HOURLY", "MINUTELY", "SECONDLY"];
/** @type {Record<string, (text: string) => boolean>} */
const PARTS = {
  FREQ: (text) => FREQS.includes(text),
  INTERVAL: within(400, false), COUNT: within(10_000, false), UNTIL: (text) => /^\d{8}(T\d{6}Z?)?$/.test(text),
  BYMONTH: within(12, false), BYMONTHDAY: within(31), BYYEARDAY: within(366), BYWEEKNO: within(53),
  BYSETPOS: within(366), BYDAY: (text) => new RegExp(`^([+-]?[1-5]?\\d)?(${DAY})$`).test(text),
  WKST: (text) => new RegExp(`^(${DAY})$`).test(text),
};

/** What is wrong with it as far as a look can tell; home looks closer.
 * @param {string} rule @param {string|null} starts_on @returns {string} */
export function ruleProblem(rule, starts_on) {
  const pairs = rule.split(";").map((one) => one.split("="));
  if (pairs.some((one) => one.length !== 2 || !one[0] || !one[1])) return W.wrong.rule_shape;
  const parts = Object.fromEntries(pairs);
  const twice = pairs.find(([key], n) => pairs.findIndex((one) => one[0] === key) !== n);
  if (twice) return W.wrong.rule_twice(twice[0]);
  const fine = FINE.includes(parts.FREQ) || pairs.some(([key]) => /^BY(HOUR|MINUTE|SECOND)$/.test(key));
  if (fine) return W.wrong.rule_fine;
  if (!FREQS.includes(parts.FREQ)) return W.wrong.rule_freq;
  for (const [key, value] of pairs) {
    if (!PARTS[key]) return W.wrong.rule_key(key);
    const bad = value.split(",").find((/** @type {string} */ one) => !PARTS[key](one));
    if (bad !== undefined) return W.wrong.rule_value(key, bad || value);
  }
  return together(parts, starts_on);
}

/** Whether a numbered weekday is one of a month's. @param {Record<string, string>} parts */
function monthly({ FREQ, BYMONTH }) {
  return FREQ === "MONTHLY" || BYMONTH !== undefined;
}

/** What its parts make impossible together. @param {Record<string, string>} parts @param {string|null} starts_on */
function together(parts, starts_on) {
  if (parts.COUNT && parts.UNTIL) return W.wrong.rule_both;
  if (parts.BYSETPOS && !Object.keys(parts).some((key) => key.startsWith("BY") && key !== "BYSETPOS")) {
    return W.wrong.rule_setpos;
  }
  const nth = (parts.BYDAY ?? "").split(",").find((one) => Math.abs(parseInt(one, 10)) > (monthly(parts) ? 5 : 53)
    || (/\d/.test(one) && !["MONTHLY", "YEARLY"].includes(parts.FREQ)));
  if (nth) return W.wrong.rule_value("BYDAY", nth);
  if (parts.BYMONTH && parts.BYMONTHDAY) {
    const longest = Math.max(...parts.BYMONTH.split(",").map((one) => daysIn(Number(one))));
    if (parts.BYMONTHDAY.split(",").every((one) => Math.abs(Number(one)) > longest)) return W.wrong.rule_never;
  }
  const until = parts.UNTIL?.slice(0, 8);
  return until && starts_on && until < starts_on.replaceAll("-", "") ? W.wrong.rule_over : "";
}
