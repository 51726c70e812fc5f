// Civil dates and clock times at the pond, from instants. No clock is read here; instants are
// milliseconds since 1970. A civil date is text, "2026-11-25", so that it compares and travels as it is.

/** @type {Map<string, Intl.DateTimeFormat>} */
const makers = new Map();

/** @param {string} zone */
function maker(zone) {
  let made = makers.get(zone);
  if (!made) {
    made = new Intl.DateTimeFormat("en-US-u-hc-h23", {
      timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit",
      hour: "2-digit", minute: "2-digit", second: "2-digit",
    });
    makers.set(zone, made);
  }
  return made;
}

/** @param {string} zone @param {number} ms @returns {Record<string, number>} */
function parts(zone, ms) {
  return Object.fromEntries(maker(zone).formatToParts(ms).map((part) => [part.type, Number(part.value)]));
}

/** Minutes the zone's clock is ahead of UTC at that instant.
 * @param {string} zone IANA name @param {number} ms @returns {number} */
function offsetMinutes(zone, ms) {
  const p = parts(zone, ms);
  const shown = Date.UTC(p.year, p.month - 1, p.day, p.hour, p.minute, p.second);
  return Math.round((shown - Math.floor(ms / 1000) * 1000) / 60000);
}

/** The civil date at the pond. @param {string} zone @param {number} ms @returns {string} */
export function civilDate(zone, ms) {
  return new Date(ms + offsetMinutes(zone, ms) * 60000).toISOString().slice(0, 10);
}

/** RFC 3339 with the offset the person lives in, to the millisecond.
 * @param {string} zone @param {number} ms @returns {string} */
export function withOffset(zone, ms) {
  const offset = offsetMinutes(zone, ms);
  const clock = new Date(ms + offset * 60000).toISOString().slice(0, -1);
  const size = Math.abs(offset);
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${clock}${offset < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** The instant of a clock time on a civil date. In the hour a clock skips, the later reading is taken.
 * @param {string} zone @param {string} date @param {string} time "HH:MM" @returns {number} ms */
export function instantOf(zone, date, time) {
  const asUtc = Date.parse(`${date}T${time}:00.000Z`);
  const first = asUtc - offsetMinutes(zone, asUtc) * 60000;
  return asUtc - offsetMinutes(zone, first) * 60000;
}

/** @param {string} date @param {number} days @returns {string} the civil date that many days on */
export function addDays(date, days) {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * 86400000).toISOString().slice(0, 10);
}

/** @param {string} from @param {string} to @returns {number} civil days between */
export function daysBetween(from, to) {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86400000);
}
