// The places of the walk, in the order one walks them: moved up and down, renamed, one more.
import { html, useRef, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { standingJobs } from "../../domain/standing-jobs.js";
import { placeWords } from "../../words/jobs-words.js";
import { TextField, showFirstError } from "../../parts/fields.js";
import { makeEntry, record } from "../../record.js";
import { cameFrom, go, useHalfTyped } from "../../router.js";
import { say, useStore } from "../../store.js";
import { words } from "../../words.js";

const W = placeWords;
const MOST = 12;

/** @typedef {{was: string, name: string}} Place */

/** @param {{plan: import("../../domain/types.js").Plan, pond: import("../../domain/types.js").Pond,
 *   now_ms: number}} props */
export function PlacesForm({ pond, now_ms }) {
  const { seen } = useStore();
  const today = civilDate(pond.zone, now_ms);
  const jobs = standingJobs(seen, pond.id, today);
  const [before] = useState(() => [...new Set([...pond.places ?? [], ...jobs.map((one) => one.place)])]);
  const [places, put] = useState(() => before.map((name) => ({ was: name, name })));
  const [tried, attempt] = useState(false);
  const list = useRef(/** @type {HTMLElement|null} */ (null));
  useHalfTyped(places.map((one) => one.name).join("\n") !== before.join("\n"));
  const move = (/** @type {number} */ n, /** @type {number} */ by) => {
    const next = places.filter((_, k) => k !== n);
    next.splice(n + by, 0, places[n]);
    put(next);
    say(W.moved(places[n].name, n + by + 1, places.length));
    // The button that was pressed goes with its place, so that it can be pressed again.
    setTimeout(() => /** @type {HTMLElement|null|undefined} */ (list.current?.children[n + by]
      ?.querySelector(by < 0 ? "[data-up]:enabled, [data-down]" : "[data-down]:enabled, [data-up]"))?.focus());
  };
  const save = async (event) => {
    event.preventDefault();
    attempt(true);
    showFirstError(event.currentTarget);
    if (places.some((_, n) => problemAt(places, n))) return;
    const names = places.map((one) => one.name.trim());
    const renamed = new Map(places.filter((one) => one.was && one.was !== one.name.trim())
      .map((one) => [one.was, one.name.trim()]));
    const entries = jobs.filter((one) => renamed.has(one.place)).map((one) => makeEntry("set", pond.id,
      { target: `job/${one.id}`, field: "place", value: renamed.get(one.place), effective_from: today }));
    await record([makeEntry("set", pond.id, { target: "pond", field: "places", value: names, effective_from: null }),
      ...entries], words.pond.saved);
    go(cameFrom("/jobs"), true);
  };
  return html`<main class="page"><header class="page-head"><div><h1>${W.title}</h1>
      <p class="quiet">${W.hint}</p></div></header>
    <form class="form places" onSubmit=${save} novalidate>
      <ol ref=${list}>${places.map((one, n) => html`<li class="place-row" key=${one.was || `new ${n}`}>
        <${TextField} label=${W.name(n + 1)} text=${one.name} error=${tried ? problemAt(places, n) : ""}
          onText=${(/** @type {string} */ name) =>
            put(places.map((other, k) => (k === n ? { ...one, name } : other)))} />
        <p class="place-moves"><button type="button" class="step" data-up disabled=${n === 0}
            aria-label=${W.up(one.name)} onClick=${() => move(n, -1)}>↑</button>
          <button type="button" class="step" data-down disabled=${n === places.length - 1}
            aria-label=${W.down(one.name)} onClick=${() => move(n, 1)}>↓</button>
          ${standing(jobs, one.was) === 0 ? html`<button type="button" class="text-button"
            aria-label=${W.drop(one.name)}
            onClick=${() => put(places.filter((other) => other !== one))}>${W.gone}</button>`
            : html`<span class="quiet">${W.jobs(standing(jobs, one.was))}</span>`}</p></li>`)}</ol>
      <p><button type="button" class="plain-button" disabled=${places.length >= MOST}
        onClick=${() => put([...places, { was: "", name: "" }])}>${W.add}</button></p>
      <div class="pair"><button type="submit" class="wide-button">${words.pond.save}</button>
        <a class="plain-button" href=${cameFrom("/jobs")}>${words.card.cancel}</a></div>
    </form></main>`;
}

/** @param {import("../../domain/types.js").StandingJob[]} jobs @param {string} place */
function standing(jobs, place) {
  return jobs.filter((one) => one.place === place).length;
}

/** @param {Place[]} places @param {number} n */
function problemAt(places, n) {
  const name = places[n].name.trim();
  if (!name) return words.pond.required;
  return places.findIndex((one) => one.name.trim().toLowerCase() === name.toLowerCase()) < n ? W.twice : "";
}
