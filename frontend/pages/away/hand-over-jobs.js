// Which jobs a helper does, place by place; food and buffer have sections of their own.
import { html } from "../../ui.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { chosenIn, isByBag, keyOf, wantsTest } from "./hand-over-values.js";
import { jobName, jobSays } from "../jobs/jobs.js";

/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../parts/field-form.js").Filling} Filling */
/** @typedef {import("./hand-over-bags.js").Around} Around */

const W = handOverWords.form;

/** @param {Around} around @returns {import("../../parts/form-values.js").Section} */
export function jobsSection(around) {
  return { title: W.jobs, hint: W.jobs_hint, fields: [{ name: "jobs", label: "", kind: "kept" }],
    under: (/** @type {Filling} */ filling) => html`<${Places} around=${around} filling=${filling} />`,
    fold: (texts) => W.jobs_count(chosenIn(texts.jobs).length) };
}

/** @param {{around: Around, filling: Filling}} props */
function Places({ around, filling: { texts, errors, set } }) {
  const { plan } = around;
  const jobs = around.jobs.filter((job) => !isByBag(job));
  const chosen = new Set(chosenIn(texts.jobs));
  const flip = (/** @type {string} */ key) => set("jobs")(jobs.map(keyOf)
    .filter((one) => (one === key) !== chosen.has(one)).join(","));
  const many = plan.ponds.length > 1;
  return html`${placesOf(jobs, plan).map(([place, here]) => html`<fieldset class="place-jobs" key=${place}>
      <legend>${place}</legend>
      ${here.map((job) => html`<label class="job-switch" key=${keyOf(job)}><input type="checkbox"
          checked=${chosen.has(keyOf(job))} onChange=${() => flip(keyOf(job))} />
        <span>${jobName(job)}<small>${saysOf(job, around, many)}</small></span></label>`)}</fieldset>`)}
    ${errors.jobs && html`<p class="form-error" role="alert" tabindex="-1" data-wrong>${errors.jobs}</p>`}`;
}

/** In the order one walks them. @param {StandingJob[]} jobs @param {import("../../domain/types.js").Plan} plan
 * @returns {[string, StandingJob[]][]} */
function placesOf(jobs, plan) {
  const known = plan.ponds.flatMap((pond) => pond.places ?? []);
  const places = [...new Set([...known, ...jobs.map((job) => job.place)])];
  return places.map((place) => /** @type {[string, StandingJob[]]} */ ([place,
    jobs.filter((job) => job.place === place)])).filter(([, here]) => here.length > 0);
}

/** @param {StandingJob} job @param {Around} around @param {boolean} many whether there are several ponds */
function saysOf(job, { plan }, many) {
  const pond = plan.ponds.find((one) => one.id === job.pond) ?? plan.ponds[0];
  const when = jobSays({ ...job, place: "" }, plan, pond, {});
  return [many && pond.name, when, wantsTest(job) && W.wants_test, job.amount && W.amount_own].filter(Boolean)
    .join(" · ");
}
