// When it happened: a field that says now until it is set to earlier, and what was typed there as a moment.
import { html } from "../ui.js";
import { instantOf, withOffset } from "../domain/civil.js";
import { skewMs } from "../domain/fold.js";
import { words } from "../words.js";
import { TextField } from "./fields.js";

/** The moment that "2026-11-24T16:45" at the pond names, in this phone's own time; null for now, when nothing is set.
 * @param {string} text @param {string} zone @param {number} skew_s @returns {number|null} */
export function momentMs(text, zone, skew_s) {
  return text ? instantOf(zone, text.slice(0, 10), text.slice(11, 16)) - skewMs(skew_s) : null;
}

/** @param {string} text @param {string} zone @param {number} now_ms by the server's clock */
export function momentError(text, zone, now_ms) {
  if (!text) return "";
  const ms = momentMs(text, zone, 0) ?? NaN;
  if (!(ms > Date.UTC(2000, 0))) return words.water.at_wrong;
  return ms > now_ms + 60000 ? words.water.at_future : "";
}

/** When it happened: now, unless set to earlier.
 * @param {{label: string, text: string, onText: (text: string) => void, zone: string, now_ms: number,
 *   error?: string}} props */
export function MomentField({ label, text, onText, zone, now_ms, error }) {
  const now = withOffset(zone, now_ms).slice(0, 16);
  return html`<${TextField} label=${label} type="datetime-local" max=${now} text=${text || now} onText=${onText}
    error=${error} />`;
}
