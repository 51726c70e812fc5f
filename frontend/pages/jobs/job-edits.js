// What others set of the same job, and what home refused: shown where the keeper would set it again.
import { html } from "../../ui.js";
import { editsOf } from "../../domain/standing-jobs.js";
import { when } from "../../formats.js";
import { jobsWords, whenWords } from "../../words/jobs-words.js";
import { shownQuantity, shownValue } from "../../units.js";
import { useStore } from "../../store.js";
import { problemSentence } from "../../words.js";
import { conditionsSay } from "./job-conditions.js";
import { readingNames } from "./job-form.js";
import { recurWords, seasonWords } from "./job-when.js";
import { windowWords } from "./job-windows.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */

const W = jobsWords;
/** For how long it is news that somebody else set it [ms]. */
const NEWS_MS = 14 * 86400000;

/** A value of a standing job's field in words.
 * @param {string} field @param {any} value @param {Plan} plan @param {Pond} pond
 * @param {Record<string, string>} jobs names by id @returns {string} */
export function fieldWords(field, value, plan, pond, jobs) {
  if (value === null || value === "" || (Array.isArray(value) && value.length === 0)) return W.nothing;
  if (field === "recur") return recurWords(value, plan, pond);
  if (field === "season") return seasonWords(value);
  if (field === "windows") return Object.values(value).map(windowWords).join("; ");
  if (field === "only_if") return conditionsSay({ plan, pond, jobs }, value);
  if (field === "asks") return value.map((/** @type {any} */ { quantity, point = "pond" }) =>
    readingNames(plan)[`${quantity}@${point}`] ?? quantity).join(", ");
  if (field === "after") return value.map((/** @type {string} */ one) => jobs[one] ?? one).join(", ");
  if (field === "who") return value.map((/** @type {string} */ one) => plan.person_names[one] ?? one).join(", ");
  if (field === "serious") return W.serious_choices[value ? "yes" : "no"];
  if (field === "active") return W.active_choices[value ? "yes" : "no"];
  if (field === "shape") return /** @type {Record<string, string>} */ (W.shapes)[value] ?? value;
  if (field === "service") return /** @type {Record<string, string>} */ (W.services)[value] ?? value;
  if (field === "kit") return pond.kit?.find((one) => one.id === value)?.name ?? value;
  const degrees = field === "setting_c" && shownQuantity(plan, pond.id, "temperature_c");
  if (degrees) return shownValue(degrees, value);
  if (field === "waits_days") return `${value} ${whenWords.days}`;
  if (field === "minutes") return `${value} ${W.min}`;
  return typeof value === "object" ? Object.values(value).join("; ") : String(value);
}

/** Of a field that somebody else set lately: what, and whether it is what holds. The last of two edits wins, whoever
 * made it; the other one is told here.
 * @param {Seen[]} edits of one field, the last winning @param {string|undefined} me @param {number} now_ms
 * @returns {{one: Seen, holds: boolean}|null} */
export function otherEdit(edits, me, now_ms) {
  if (edits.length < 2) return null;
  const last = edits[edits.length - 1];
  const other = last.entry.author !== me ? last : edits[edits.length - 2];
  if (other.entry.author === me || now_ms - Date.parse(other.at) > NEWS_MS) return null;
  const same = JSON.stringify(other.entry.value) === JSON.stringify(last.entry.value);
  return other !== last && same ? null : { one: other, holds: other === last };
}

/** One sentence for each field others set lately. @param {{plan: Plan, pond: Pond, id: string, fields: string[],
 *   jobs: Record<string, string>, seen: Map<string, Seen>, me: string|undefined, now_ms: number}} of */
export function othersSaid({ plan, pond, id, fields, jobs, seen, me, now_ms }) {
  return fields.flatMap((field) => {
    const found = otherEdit(editsOf(seen, pond.id, id, field), me, now_ms);
    if (!found) return [];
    const { entry, at } = found.one;
    const who = plan.person_names[entry.author] ?? W.somebody;
    const value = fieldWords(field, entry.value, plan, pond, jobs);
    return [(found.holds ? W.edited : W.edited_over)(who, value, when(at, pond.zone, now_ms))];
  }).join(" ");
}

/** Settings of this job that home refused, or of any of the pond. @param {{pond: string, id?: string}} props */
export function Refused({ pond, id }) {
  const { set_aside } = useStore();
  const mine = set_aside.filter(({ entry }) => entry.kind === "set" && entry.pond === pond
    && (id ? entry.target === `job/${id}` : entry.target.startsWith("job/")));
  if (mine.length === 0) return null;
  return html`<div class="notice act" role="status"><p><strong>${W.refused}</strong></p>
    <ul>${mine.map((one) => html`<li key=${one.id}>${problemSentence(one)}</li>`)}</ul></div>`;
}
