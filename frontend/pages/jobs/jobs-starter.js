// The jobs of a keeper's whole year, offered once a pond is told: groups or single jobs switched off, the rest taken.
import { html, useMemo, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { jobsWords } from "../../words/jobs-words.js";
import { record, zoneOf } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { words } from "../../words.js";
import { groupsOf, switched } from "./job-groups.js";
import { jobName, jobSays, namesIn } from "./jobs.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */

const W = jobsWords;

/** @param {{pond: string}} props   its id: the plan may not know it yet */
export function JobsStarter({ pond }) {
  const { plan, seen } = useStore();
  const now_ms = useNow();
  const groups = useMemo(() => (plan ? groupsOf(plan, []) : []), [plan?.starter_groups, plan?.starter]);
  const [left_out, leave] = useState(() => new Set(groups.flatMap((one) => one.rows)
    .filter((row) => !row.job.active).map((row) => row.id)));
  const [wrong, fail] = useState("");
  const begun = [...seen.values()].some(({ entry }) => entry.kind === "set" && entry.target?.startsWith("job/"));
  if (begun) return html`<p class="empty" role="status">${words.pond.jobs_begun}</p>`;
  if (!plan || groups.length === 0) return html`<p class="empty">${words.pond.jobs_none}</p>`;
  const told = plan.ponds.find((one) => one.id === pond) ?? /** @type {any} */ ({ id: pond, units: {}, kit: [] });
  const rows = groups.flatMap((one) => one.rows);
  const chosen = rows.filter((row) => !left_out.has(row.id));
  const flip = (/** @type {string[]} */ ids, /** @type {boolean} */ on) => {
    const next = new Set(left_out);
    for (const id of ids) if (on) next.delete(id); else next.add(id);
    leave(next);
    fail("");
  };
  const begin = (event) => {
    event.preventDefault();
    if (chosen.length === 0) return fail(W.start_none);
    const today = civilDate(zoneOf(pond), now_ms);
    return record(chosen.flatMap((row) => switched(pond, row, true, today)), words.pond.saved);
  };
  return html`<form class="jobs starter" onSubmit=${begin}>
    <div class="job-groups">${groups.map((one) => html`<${Offer} key=${one.id} group=${one} plan=${plan} pond=${told}
      names=${namesIn(groups)} left_out=${left_out} onFlip=${flip} />`)}</div>
    ${wrong && html`<p class="form-error inset" role="alert">${wrong}</p>`}
    <p class="quiet inset" role="status">${W.start_count(chosen.length)}</p>
    <button type="submit" class="wide-button inset-button">${W.start_save}</button>
  </form>`;
}

/** @param {{group: import("./job-groups.js").Group, plan: Plan, pond: Pond, names: Record<string, string>,
 *   left_out: Set<string>, onFlip: (ids: string[], on: boolean) => void}} props */
function Offer({ group, plan, pond, names, left_out, onFlip }) {
  const ids = group.rows.map((row) => row.id);
  const on = ids.filter((id) => !left_out.has(id)).length;
  return html`<section class="job-offer" aria-label=${group.title}>
    <label class="job-switch"><input type="checkbox" checked=${on > 0} indeterminate=${on > 0 && on < ids.length}
        onChange=${(event) => onFlip(ids, event.target.checked)} />
      <span class=${on > 0 ? "" : "off"}>${group.title}
        <small>${[group.says, W.count(on, ids.length)].filter(Boolean).join(" ")}</small></span></label>
    <details class="one-by-one"><summary aria-label=${W.one_by_one_of(group.title)}>${W.one_by_one}</summary>
      <ul>${group.rows.map(({ id, job }) => html`<li class="job-row" key=${id}><label class="job-switch">
        <input type="checkbox" checked=${!left_out.has(id)}
          onChange=${(event) => onFlip([id], event.target.checked)} />
        <span>${jobName(job)}<small>${jobSays(job, plan, pond, names)}</small></span></label></li>`)}</ul></details>
  </section>`;
}
