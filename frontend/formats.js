// Numbers, dates and amounts as people read them: English, in the pond's zone.
import { civilDate } from "./domain/civil.js";
import { recall } from "./device-memory.js";

const LANGUAGE = navigator.language.startsWith("en") ? navigator.language : "en-GB";

/** How this browser's language writes the time of day, unless the person at this device chose. */
function hoursOfDay() {
  const chosen = recall("evenwater-hours");
  if (chosen) return /** @type {"h12"|"h23"} */ (chosen);
  return new Intl.DateTimeFormat(LANGUAGE, { hour: "numeric" }).resolvedOptions().hour12 ? "h12" : "h23";
}

const HOURS = hoursOfDay();

/** @type {Map<string, Intl.DateTimeFormat>} */
const made = new Map();

/** @param {string} zone @param {Intl.DateTimeFormatOptions} options */
function dates(zone, options) {
  const key = zone + JSON.stringify(options);
  const format = made.get(key) ?? new Intl.DateTimeFormat(LANGUAGE, { timeZone: zone, ...options });
  made.set(key, format);
  return format;
}

/** "17:40", or "5:40 pm" @param {string} at @param {string} zone */
export function clock(at, zone) {
  const hour = HOURS === "h12" ? "numeric" : "2-digit";
  return dates(zone, { hour, minute: "2-digit", hourCycle: HOURS }).format(Date.parse(at));
}

/** "Tue 3 Nov" @param {string} date civil */
export function shortDate(date) {
  const parts = dates("UTC", { weekday: "short", day: "numeric", month: "short" }).formatToParts(Date.parse(date));
  const of = (type) => parts.find((part) => part.type === type)?.value;
  return `${of("weekday")} ${of("day")} ${of("month")}`;
}

/** "3 Nov" @param {string} date civil */
export function dayAndMonth(date) {
  return shortDate(date).split(" ").slice(1).join(" ");
}

/** {weekday: "Tue", day: "3", month: "Nov"} @param {string} date civil */
export function dayParts(date) {
  const [weekday, day, month] = shortDate(date).split(" ");
  return { weekday, day, month };
}

/** "18:02" today, "Mon 18:02" within the week, "3 Nov 18:02" before.
 * @param {string} at @param {string} zone @param {number} now_ms */
export function when(at, zone, now_ms) {
  const then = civilDate(zone, Date.parse(at));
  if (then === civilDate(zone, now_ms)) return clock(at, zone);
  const near = now_ms - Date.parse(at) < 6 * 86400000;
  return `${near ? dayParts(then).weekday : dayAndMonth(then)} ${clock(at, zone)}`;
}

/** @type {Map<number|undefined, Intl.NumberFormat>} */
const numbers = new Map();

/** @param {number} value @param {number} [decimals] */
export function number(value, decimals) {
  const format = numbers.get(decimals) ?? new Intl.NumberFormat(LANGUAGE, {
    minimumFractionDigits: decimals, maximumFractionDigits: decimals ?? 3,
  });
  numbers.set(decimals, format);
  return format.format(value);
}

const QUARTERS = ["", "¼", "½", "¾"];

/** "2½ capfuls", "1 capful", "¾ capful". @param {number} grams @param {number} capful_g */
export function capfuls(grams, capful_g) {
  const quarters = Math.round((grams / capful_g) * 4);
  const whole = Math.floor(quarters / 4);
  const text = `${whole || ""}${QUARTERS[quarters % 4]}` || "0";
  return `${text} ${quarters <= 4 && quarters > 0 ? "capful" : "capfuls"}`;
}

/** An amount as it stands on the card: capfuls first, above four of them grams first.
 * @param {number} grams @param {number|null} capful_g @returns {{big: string, small: string}} */
export function amount(grams, capful_g) {
  const weight = `${number(grams, 0)} g`;
  if (!capful_g) return { big: weight, small: "" };
  const scoops = capfuls(grams, capful_g);
  return grams > 4 * capful_g ? { big: weight, small: scoops } : { big: scoops, small: weight };
}

/** The two numbers that "1,250" could be: a thousand and more to some, one and a quarter to others.
 * @param {string} text @returns {[string, string]|null} */
export function twoNumbers(text) {
  const plain = text.trim();
  return /^[1-9]\d{0,2},\d{3}$/.test(plain) ? [plain.replace(",", ""), String(Number(plain.replace(",", ".")))] : null;
}

/** What was typed, as a number; a decimal comma is a decimal point, and a space or an apostrophe may stand before
 * three digits. NaN when it is none, or when it could be two. @param {string} text @returns {number} */
export function parsed(text) {
  if (twoNumbers(text)) return NaN;
  const plain = text.trim().replace(/(\d)[\s'’](?=\d{3}(?!\d))/g, "$1").replace(",", ".").replace("−", "-");
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}
