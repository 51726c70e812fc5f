// Ceilings: food and buffer of each pond, by the numbered bag. The buffer rests on a KH, which the keeper confirms.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { ceilingOf } from "../../domain/hand-overs.js";
import { amount, dayAndMonth, number, shortDate } from "../../formats.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { shownQuantity, shownValue } from "../../units.js";
import { daysIn, gramsIn, lastKh, plannedOf, sumOf } from "./hand-over-values.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {import("../../parts/field-form.js").Filling} Filling */
/** @typedef {{plan: Plan, seen: Map<string, Seen>, jobs: StandingJob[], now_ms: number, of: HandOver|null}} Around */

const W = handOverWords.form;
/** A reading older than this is no ground for ten days of doses [ms]. */
const TOO_OLD_MS = 7 * 86_400_000;
const MOST_G = 20_000;

/** Of which pond, where there are several. @param {Around} around @param {Pond} pond */
function whose({ plan }, pond) {
  return plan.ponds.length > 1 ? pond.name : "";
}

/** "2 capfuls · 84 g" @param {number} grams @param {Pond} pond */
export function bagWords(grams, { capful_g }) {
  const { big, small } = amount(grams, capful_g);
  return [big, small].filter(Boolean).join(" · ");
}

/** @param {Around} around @param {Pond} pond @returns {Section} */
export function feedSection(around, pond) {
  const name = `feed:${pond.id}`;
  return { title: W.feed(whose(around, pond)), open: true,
    where: () => around.jobs.some((job) => job.pond === pond.id && job.shape === "feed"),
    fields: [{ name, label: W.feed_field, unit: "g", low: 0, high: MOST_G, hint: W.feed_hint }],
    under: (/** @type {Filling} */ { texts }) => html`<${Food} around=${around} pond=${pond} texts=${texts} />`,
    fold: (texts) => (gramsIn(texts[name]) ? handOverWords.page.feed(texts[name]) : W.feed_none) };
}

/** @param {{around: Around, pond: Pond, texts: Record<string, string>}} props */
function Food({ around, pond, texts }) {
  const planned = plannedOf(around.plan, pond.id, "feed");
  const plan_g = sumOf(planned, "feed_g");
  const typed = gramsIn(texts[`feed:${pond.id}`]);
  const times = planned.length;
  return html`<p class="section-hint">${plan_g ? W.feed_plan(number(plan_g), shortDate(planned[0].due_on))
      : W.feed_no_plan(planned[0]?.reason ?? "")}
      ${typed && plan_g && typed > plan_g * 1.02 ? ` ${W.feed_over}` : ""}</p>
    ${typed && html`<p class="section-hint row-says">${W.feed_bags(number(typed), daysIn(texts),
        number(typed * daysIn(texts), 0))}</p>`}
    <${Weighed} before=${around.of && ceilingOf(around.of, pond.id).feed_g_per_day} typed=${typed}
      said=${(/** @type {number} */ g) => `${number(g)} g`} />
    ${typed && times > 1 && html`<p class="section-hint quiet">${W.feed_times(times)}</p>`}`;
}

/** @param {Around} around @param {Pond} pond @returns {Section} */
export function bufferSection(around, pond) {
  const name = `buffer:${pond.id}`;
  return { title: W.buffer(whose(around, pond)), hint: W.buffer_says, caution: W.buffer_caution, open: true,
    where: () => around.jobs.some((job) => job.pond === pond.id && job.shape === "dose"),
    fields: [{ name, label: W.buffer_field, unit: "g", low: 0, high: MOST_G, hint: W.buffer_hint },
      { name: `confirmed:${pond.id}`, label: "", kind: "kept" }],
    under: (/** @type {Filling} */ filling) => html`<${Dose} around=${around} pond=${pond} filling=${filling} />`,
    fold: (texts) => {
      const typed = gramsIn(texts[name]);
      return typed ? handOverWords.page.buffer(bagWords(typed, pond)) : W.buffer_none;
    } };
}

/** @param {{around: Around, pond: Pond, filling: Filling}} props */
function Dose({ around, pond, filling }) {
  const { texts, errors, set } = filling;
  const planned = plannedOf(around.plan, pond.id, "dose");
  const plan_g = sumOf(planned, "amount_g");
  const typed = gramsIn(texts[`buffer:${pond.id}`]);
  const kh = khOf(around, pond);
  const confirmed = `confirmed:${pond.id}`;
  const days = daysIn(texts);
  const confirm = (/** @type {any} */ event) => set(confirmed)(event.target.checked && kh
    ? `${civilDate(pond.zone, around.now_ms)} ${kh.value}` : "");
  return html`<p class="section-hint">${kh ? W.buffer_rests(kh.said, shortDate(kh.on)) : W.buffer_untested}
      ${" "}${plan_g ? W.buffer_plan(bagWords(plan_g, pond), shortDate(planned[0].due_on))
        : W.buffer_no_plan(planned[0]?.reason ?? "")}</p>
    ${typed && html`<p class="section-hint row-says">${W.buffer_bags(bagWords(typed, pond), days,
        number(typed * days, 0))}</p>
      <${Weighed} before=${around.of && ceilingOf(around.of, pond.id).buffer_g_per_day} typed=${typed}
        said=${(/** @type {number} */ g) => bagWords(g, pond)} />
      ${kh && isOld(kh, around) && !texts[confirmed]
        && html`<p class="section-hint">${W.buffer_old(dayAndMonth(kh.on))}</p>`}
      ${kh && (!isOld(kh, around) || texts[confirmed]) && html`<label class="job-switch confirm">
        <input type="checkbox" checked=${Boolean(texts[confirmed])} onChange=${confirm} />
        <span>${W.buffer_confirm(kh.said, dayAndMonth(kh.on))}</span></label>`}`}
    ${errors[confirmed] && !texts[confirmed] && html`<p class="form-error section-hint" role="alert" tabindex="-1"
      data-wrong>${errors[confirmed]}</p>`}`;
}

/** A number changed from afar changes no bag. @param {{before: number|null|undefined, typed: number|null|undefined,
 *   said: (g: number) => string}} props */
function Weighed({ before, typed, said }) {
  if (!before || !typed || Math.abs(before - typed) < 0.05) return null;
  return html`<p class="caution section-hint" role="status">${W.weighed(said(before))}</p>`;
}

/** The KH an amount would rest on. @param {Around} around @param {Pond} pond */
function khOf({ plan, seen }, pond) {
  const last = lastKh(seen, pond.id);
  if (!last) return null;
  const known = shownQuantity(plan, pond.id, "kh_dkh");
  const value = /** @type {number} */ (last.entry.value);
  return { value, on: last.on, at: last.at, said: known ? shownValue(known, value) : number(value) };
}

/** @param {{at: string}} kh @param {Around} around */
function isOld({ at }, { now_ms }) {
  return now_ms - Date.parse(at) > TOO_OLD_MS;
}

/** @param {Record<string, any>} values @param {Around} around @returns {Record<string, string>} */
export function doseProblems(values, around) {
  for (const pond of around.plan.ponds) {
    const grams = values[`buffer:${pond.id}`];
    const wrong = grams ? doseProblem(grams, values, around, pond) : null;
    if (wrong) return wrong;
  }
  return {};
}

/** @param {number} grams @param {Record<string, any>} values @param {Around} around @param {Pond} pond
 * @returns {Record<string, string>|null} */
function doseProblem(grams, values, around, pond) {
  const [planned] = plannedOf(around.plan, pond.id, "dose");
  const limit_g = planned?.limit_g_24h ?? null;
  if (limit_g !== null && grams > limit_g) {
    return { [`buffer:${pond.id}`]: W.buffer_over(bagWords(limit_g, pond)) };
  }
  if (values[`confirmed:${pond.id}`]) return null;
  const kh = khOf(around, pond);
  const wrong = kh && isOld(kh, around) ? W.buffer_old(dayAndMonth(kh.on)) : W.buffer_confirm_wanted;
  return { [`confirmed:${pond.id}`]: kh ? wrong : W.buffer_untested };
}
