// The printed sheet of a hand-over, on A4 or Letter: useful to a neighbour who has nothing else.
import { html, classes, useState } from "../../ui.js";
import { daysOf, rehearsedOn } from "../../domain/hand-overs.js";
import { shortDate } from "../../formats.js";
import { smallUrl } from "../../photos.js";
import { plainTroubles } from "../../plain-troubles.js";
import { sheetWords } from "../../words/sheet-words.js";
import { useStore } from "../../store.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { Code, madeFor } from "./hand-over-links.js";
import { jobsOf } from "./hand-over-values.js";
import { sheetDays, sheetJobs } from "./sheet-rows.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {import("./sheet-rows.js").SheetJob} SheetJob */
/** @typedef {import("./sheet-rows.js").SheetDay} SheetDay */

const W = sheetWords;

/** @param {{plan: Plan, of: HandOver, now_ms: number, query: URLSearchParams}} props */
export function HandOverSheet({ plan, of, now_ms, query }) {
  const { seen } = useStore();
  const asked = query.get("helper") ?? "";
  const helper = of.helpers.find((one) => one.id === asked) ?? of.helpers[0];
  const jobs = sheetJobs(of, plan, jobsOf(plan, seen, now_ms));
  const made = madeFor(of, helper);
  return html`<main class="page sheet-page">
    <header class="page-head screen-only"><div><h1>${handOverWords.page.sheet}</h1></div>
      <button type="button" class="round-button" onClick=${() => print()}>${W.print}</button></header>
    <div class="screen-only"><${Helpers} of=${of} helper=${helper?.id} />
      ${!made && html`<p class="notice">${W.no_code}
        ${" "}<a class="text-link" href=${`/hand-overs?of=${of.id}`}>${W.make_link}</a></p>`}</div>
    <article class="sheet" aria-label=${handOverWords.page.sheet}>
      <${Head} plan=${plan} of=${of} name=${helper?.name ?? ""} made=${made} jobs=${jobs} />
      <${RoundJobs} jobs=${jobs} />
      <${Things} of=${of} />
      <${Days} jobs=${jobs} days=${sheetDays(of, plan, jobs)} />
      <${Wrong} />
    </article>
    <p class="centre screen-only"><a class="plain-button"
      href=${`/hand-overs?of=${of.id}`}>${handOverWords.back}</a></p>
  </main>`;
}

/** @param {{of: HandOver, helper: string|undefined}} props */
function Helpers({ of, helper }) {
  if (of.helpers.length < 2) return null;
  return html`<p class="picks inset">${of.helpers.map((one) => html`<a key=${one.id} class="pick"
    aria-current=${one.id === helper ? "true" : undefined}
    href=${`/hand-overs?sheet=${of.id}&helper=${one.id}`}>${one.name}</a>`)}</p>`;
}

/** @param {{plan: Plan, of: HandOver, name: string, made: import("./hand-over-links.js").Made|undefined,
 *   jobs: SheetJob[]}} props */
function Head({ plan, of, name, made, jobs }) {
  const { person } = useStore();
  const days = daysOf(of);
  const rehearsal = rehearsedOn(of);
  const ponds = plan.ponds.filter((pond) => of.jobs.some((job) => job.startsWith(`${pond.id}/`)));
  const ring = [...of.ring, ...plan.ring];
  return html`<header class="sheet-head"><div class="sheet-what">
      <h2>${W.title(ponds.map((pond) => pond.name).join(", ") || plan.ponds[0].name)}</h2>
      <p><b>${W.for_whom(name, person?.name ?? "")}</b> · ${days.length > 0
        && W.span(shortDate(days[0]), shortDate(days[days.length - 1]), days.length)}</p>
      <p>${W.koi} ${rehearsal && W.rehearsal(shortDate(rehearsal))}</p>
      ${jobs.every((job) => job.shape !== "feed") && html`<p><b>${W.no_food}</b></p>`}
      <p class="sheet-doubt">${W.doubt}</p>
      <ul class="sheet-ring">${ring.map((one) => html`<li key=${one.tel}>${W.ring} <b>${one.name}</b>
        ${" "}<b class="tel">${one.tel}</b></li>`)}
        ${ring.length === 0 && html`<li>${W.ring} ${W.no_ring}</li>`}</ul>
      ${of.words && html`<p class="sheet-words"><b>${W.words}</b> ${of.words}</p>`}</div>
    ${made && html`<div class="sheet-code"><${Code} code=${made.code} name=${W.code} />
      <p><b>${W.code}</b> ${W.code_how} ${!made.works_offline && W.only_reach}</p>
      <p class="sheet-address">${W.code_address} ${made.url}</p></div>`}
  </header>`;
}

/** @param {{jobs: SheetJob[]}} props */
function RoundJobs({ jobs }) {
  const parts = [...new Set(jobs.map((job) => job.part))];
  return html`<section class="sheet-round"><h3>${W.round}</h3>
    ${parts.map((part) => html`<div class="sheet-part" key=${part}>
      <h4>${W.parts[/** @type {"dusk"} */ (part)]}</h4>
      ${jobs.filter((job) => job.part === part).map((job) => html`<${OneJob} key=${job.key} job=${job} />`)}
    </div>`)}</section>`;
}

/** @param {{job: SheetJob}} props */
function OneJob({ job }) {
  return html`<div class=${classes("sheet-job", job.picture && "with-picture")}>
    <div><p><span class="sheet-number">${job.number}</span> <b class="sheet-text">${job.text}</b>
        ${" "}<span>${[job.where, job.often, job.time].filter(Boolean).join(" · ")}</span></p>
      ${job.much && html`<p class="sheet-much">${job.much}</p>`}
      ${job.right && html`<p>${W.right} ${job.right}</p>`}
      ${job.why && html`<p>${W.why} ${job.why}</p>`}
      ${job.cautions.map((said) => html`<p class="sheet-caution" key=${said}>${said}</p>`)}</div>
    ${job.picture && html`<${Photo} sum=${job.picture} of=${job.text} />`}</div>`;
}

/** A photo that is there when the sheet is printed; one that cannot be had leaves no gap.
 * @param {{sum: string, of: string}} props */
function Photo({ sum, of }) {
  const [failed, fail] = useState(false);
  return !failed && html`<img class="sheet-photo" src=${smallUrl(sum)} alt=${of} loading="eager"
    onError=${() => fail(true)} />`;
}

/** @param {{jobs: SheetJob[], days: SheetDay[]}} props */
function Days({ jobs, days }) {
  if (days.length === 0) return null;
  const has = (/** @type {"food"|"buffer"|"setting"} */ what) => days.some((day) => day[what]);
  const columns = /** @type {("food"|"buffer"|"setting")[]} */ (["food", "buffer", "setting"]).filter(has);
  return html`<section class="sheet-days"><h3>${W.days}</h3><p>${W.days_hint}</p>
    <table><thead><tr>
      <th scope="col">${W.columns.day}</th>
      ${columns.map((one) => html`<th scope="col" key=${one}>${W.columns[one]}</th>`)}
      ${jobs.map((job) => html`<th scope="col" class="for-paper" key=${job.key}
        aria-label=${job.text}>${job.number}</th>`)}
      <th scope="col" class="sheet-note for-paper">${W.columns.note}</th></tr></thead>
    <tbody>${days.map((day) => html`<tr key=${day.date}><th scope="row">${day.day}</th>
      ${columns.map((one) => html`<td key=${one}>${day[one]}</td>`)}
      ${day.due.map((due, n) => html`<td key=${jobs[n].key}
        class="sheet-tick for-paper">${due ? "☐" : W.not_today}</td>`)}
      <td class="for-paper"></td></tr>`)}</tbody></table></section>`;
}

function Wrong() {
  return html`<section class="sheet-wrong"><h3>${W.wrong}</h3>
    <div class="sheet-steps">${[...plainTroubles, ...W.more_wrong].map(({ id, title, steps }) =>
      html`<div key=${id}><h4>${title}</h4><ol>${steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol></div>`)}
    </div>
    <p class="sheet-caution">${W.safety}</p><p class="sheet-doubt">${W.doubt} ${W.thanks}</p></section>`;
}

/** @param {{of: HandOver}} props */
function Things({ of }) {
  const things = of.shown.filter((one) => one.photo || one.where);
  const names = /** @type {Record<string, string>} */ (W.things);
  return things.length > 0 && html`<section class="sheet-things"><h3>${W.where}</h3>
      <ul>${things.map((one, n) => html`<li key=${n}>${one.photo && html`<${Photo} sum=${one.photo}
          of=${names[one.what] ?? one.what} />`}
        <p><b>${names[one.what] ?? one.what}</b> ${one.where}</p></li>`)}</ul></section>`;
}
