// The year on one page, as a walk from month to month: what seasonal work begins when, until when, when it was done
// this year and last. Made to be printed and hung in the filter house.
import { html, classes, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { Icon } from "../../parts/icons.js";
import { zoneOf } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { yearWords } from "../../words/year-words.js";
import { dayIn, monthsOf } from "./year-months.js";

/** @typedef {import("./year-months.js").Work} Work */

export function Year() {
  const { plan } = useStore();
  const today = civilDate(zoneOf(), useNow());
  const [pond, choose] = useState(/** @type {string|null} */ (null));
  const book = plan?.book?.find((one) => one.pond === pond) ?? plan?.book?.[0];
  const { always, months } = monthsOf(book?.year ?? [], today);
  return html`<main class="page year">
    <header class="page-head"><div><h1>${yearWords.title(today.slice(0, 4))}</h1>
      <p class="quiet">${yearWords.hint}</p></div>
      <button type="button" class="round-button" onClick=${() => print()}>${yearWords.print}</button></header>
    <${Ponds} ponds=${plan?.ponds ?? []} chosen=${book?.pond} onChoose=${choose} />
    ${book?.year.length ? html`<ol class="path months">${months.map((month) =>
        html`<${Month} key=${month.number} month=${month} year=${Number(today.slice(0, 4))} />`)}</ol>
      ${always.length > 0 && html`<section class="part"><h2>${yearWords.always}</h2>
        <${Works} works=${always} /></section>`}`
      : html`<p class="empty">${yearWords.none}</p>`}
    <p class="centre"><a class="plain-button" href="/report">${yearWords.told}</a></p>
    <p class="centre"><a class="plain-button" href="/round">${yearWords.back}</a></p>
  </main>`;
}

/** @param {{ponds: import("../../domain/types.js").Pond[], chosen: string|undefined,
 *   onChoose: (id: string) => void}} props */
function Ponds({ ponds, chosen, onChoose }) {
  if (ponds.length < 2) return null;
  return html`<p class="picks inset">${ponds.map((one) => html`<button key=${one.id} type="button" class="pick"
    aria-pressed=${one.id === chosen ? "true" : "false"} onClick=${() => onChoose(one.id)}>${one.name}</button>`)}</p>`;
}

/** @param {{month: import("./year-months.js").Month, year: number}} props */
function Month({ month, year }) {
  const mark = month.when === "now" ? "next" : "todo";
  return html`<li class=${classes("month", `month-${month.when}`)}>
    <span class=${`mark mark-${mark}`}><${Icon} name=${mark} /></span>
    <h2>${yearWords.months[month.number - 1]}
      ${month.when === "now" && html` <span class="quiet">${yearWords.now}</span>`}</h2>
    <${Works} works=${month.works} />
    ${month.ends.length > 0 && html`<p class="quiet">${yearWords.ends(month.ends.map(({ title, ends }) =>
      `${title} (${dayIn(ends, year)})`))}</p>`}
  </li>`;
}

/** @param {{works: Work[]}} props */
function Works({ works }) {
  return works.length > 0 && html`<ul>${works.map((work) =>
    html`<${WorkLine} key=${work.line.standing_job + work.line.begins} work=${work} />`)}</ul>`;
}

/** @param {{work: Work}} props */
function WorkLine({ work: { line, state, span, done, last_year } }) {
  const when = [done && yearWords.done(done), last_year && yearWords.last_year(last_year)].filter(Boolean).join(" · ");
  return html`<li class=${classes("work", `work-${state}`)}>
    <p><b>${line.title}</b> <span class="work-dates">${span}</span></p>
    <p class="quiet">${[yearWords.states[state], when].filter(Boolean).join(" · ")}</p></li>`;
}
