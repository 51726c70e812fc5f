// Write a change down: what, of which kit, and which jobs and readings should tell whether it helped.
import { html, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { standingJobs } from "../../domain/standing-jobs.js";
import { changeWords, kitWords } from "../../words/kit-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { PhotoField } from "../../parts/photo-field.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { useStore } from "../../store.js";
import { whose } from "../save-settings.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */

const W = changeWords;
const BACK = "/changes";
const MOST = 6;

/** Jobs whose interval can tell: those that come when they are needed, not by the day.
 * @param {StandingJob[]} jobs @returns {Record<string, string>} */
function telling(jobs) {
  const on = jobs.filter((one) => one.active && ["after_done", "use", "when"].includes(one.recur.every));
  return Object.fromEntries(on.map((one) => [one.id, one.text]));
}

/** @param {{plan: Plan, pond: Pond, now_ms: number}} props */
export function ChangeForm({ plan, pond, now_ms }) {
  const { seen, skew_s } = useStore();
  const [at, when] = useState("");
  const [wrong, fail] = useState("");
  const [photos, keep] = useState(/** @type {string[]} */ ([]));
  const jobs = telling(standingJobs(seen, pond.id, civilDate(pond.zone, now_ms)));
  const kit = { "": W.kit_none, ...Object.fromEntries((pond.kit ?? []).map((one) => [one.id, one.name])) };
  const measured = Object.fromEntries(plan.quantities.map((one) => [one.quantity, one.label]));
  /** @type {import("../../parts/form-values.js").Section[]} */
  const sections = [
    { fields: [
      { name: "text", label: W.text, kind: "text", most: 2000, lines: 2, required: true, hint: W.text_hint },
      { name: "kit", label: W.kit, options: kit }] },
    { title: W.tell, hint: W.tells, fields: [
      ...Object.keys(jobs).length > 0
        ? [/** @type {const} */ ({ name: "jobs", label: W.jobs, kind: "many", options: jobs, hint: W.jobs_hint })] : [],
      { name: "quantities", label: W.readings, kind: "many", options: measured, hint: W.readings_hint }] }];
  const check = (/** @type {Record<string, any>} */ values) =>
    Object.fromEntries(["jobs", "quantities"].filter((name) => values[name]?.length > MOST)
      .map((name) => [name, W.most]));
  const save = async (/** @type {Record<string, any>} */ values) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    await record([makeEntry("change", pond.id, { text: values.text, jobs: values.jobs ?? [],
      quantities: values.quantities, ...(values.kit ? { kit: values.kit } : {}),
      ...(photos.length > 0 ? { photos } : {}) }, momentMs(at, pond.zone, skew_s))], kitWords.saved);
    go(BACK, true);
  };
  return html`<${FieldForm} title=${W.form_title} hint=${[whose(plan, pond), W.form_hint].filter(Boolean).join(": ")}
      sections=${sections} before=${{ kit: "" }} check=${check} back=${BACK} onSave=${save}>
    <${MomentField} label=${kitWords.happened} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms}
      error=${wrong} />
    <div class="whole-line"><${PhotoField} sums=${photos} onChange=${keep} /></div></${FieldForm}>`;
}
