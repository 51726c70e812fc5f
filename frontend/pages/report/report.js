// The season report: from when to when, and what to put in. Home writes the report, as a page of its own.
import { html, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { spanProblems, spansOf } from "../../domain/report-spans.js";
import { PondPick, showFirstError, TextField } from "../../parts/fields.js";
import { ask } from "../../offline/server.js";
import { zoneOf } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { errorSentence } from "../../words.js";
import { reportWords } from "../../words/report-words.js";
import { MOST_PHOTOS, ReportPhotos } from "./report-photos.js";

const W = reportWords;
const PARTS = /** @type {(keyof typeof W.part)[]} */ (Object.keys(W.part));
const OWN = /** @type {const} */ (["people", "notes", "place"]);

/** What was chosen, as it stands in the report's address.
 * @typedef {{first: string, last: string, parts: string[], title: string, own: string[], photos: string[]}} Chosen */

/** @param {{query: URLSearchParams}} props   a report's own address leads back here with what was chosen */
export function Report({ query }) {
  const { plan, pond } = useStore();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  const today = civilDate(here?.zone ?? zoneOf(), useNow());
  return html`<main class="page report">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div></header>
    <div class="inset"><${PondPick} /></div>
    ${here ? html`<${ReportForm} key=${here.id} pond=${here} today=${today} query=${query} />
      <${Years} pond=${here.id} today=${today} />` : html`<p class="empty">${W.no_plan}</p>`}
  </main>`;
}

/** Photos are of one pond and one time: chosen for another they would be in no report, and nobody would see why.
 * @param {URLSearchParams} query @param {string} pond @param {string} today @returns {Chosen} */
function chosenFrom(query, pond, today) {
  const [first, last] = spansOf(today).year;
  const list = (/** @type {string} */ name) => (query.get(name) ?? "").split(",").filter(Boolean);
  return {
    first: query.get("first") ?? first, last: query.get("last") ?? last,
    parts: query.has("parts") ? list("parts") : PARTS, title: query.get("title") ?? "",
    own: OWN.filter((name) => query.get(name) === "true"), photos: query.get("pond") === pond ? list("photos") : [],
  };
}

/** @param {string} pond @param {Chosen} now */
function addressOf(pond, { first, last, parts, title, own, photos }) {
  const said = new URLSearchParams({ pond, first, last, parts: parts.join(",") });
  if (title.trim()) said.set("title", title.trim());
  for (const name of own) said.set(name, "true");
  if (parts.includes("photos") && photos.length > 0) said.set("photos", photos.join(","));
  return `/season-report?${said}`;
}

/** Go to a page that home writes, when home can be reached; else why not.
 * @param {string} address @returns {Promise<string>} */
async function openAtHome(address) {
  const answer = await ask("GET", "/api/start", undefined, (data) => typeof data?.state === "string");
  if (!answer.ok) return answer.why === "no_signal" ? W.offline : errorSentence(answer);
  location.assign(address);
  return "";
}

/** @param {string[]} list @param {string} one */
function flipped(list, one) {
  return list.includes(one) ? list.filter((other) => other !== one) : [...list, one];
}

/** @param {{pond: import("../../domain/types.js").Pond, today: string, query: URLSearchParams}} props */
function ReportForm({ pond, today, query }) {
  const [now, change] = useState(() => chosenFrom(query, pond.id, today));
  const [tried, press] = useState(false);
  const [error, fail] = useState("");
  const set = (/** @type {Partial<Chosen>} */ more) => change({ ...now, ...more });
  const wrong = spanProblems(now.first, now.last, today);
  const empty = now.parts.length === 0;
  const many = now.parts.includes("photos") && now.photos.length > MOST_PHOTOS;
  const show = async (event) => {
    event.preventDefault();
    press(true);
    showFirstError(event.currentTarget);
    if (!wrong.first && !wrong.last && !empty && !many) fail(await openAtHome(addressOf(pond.id, now)));
  };
  const box = (/** @type {string} */ label, /** @type {"parts"|"own"} */ of, /** @type {string} */ name) =>
    html`<label class="choice" key=${name}><input type="checkbox" checked=${now[of].includes(name)}
      onChange=${() => set({ [of]: flipped(now[of], name) })} /><span>${label}</span></label>`;
  const date = (/** @type {"first"|"last"} */ name) => html`<${TextField} label=${W[name]} type="date" max=${today}
    text=${now[name]} onText=${(/** @type {string} */ text) => set({ [name]: text, photos: [] })}
    error=${wrong[name] && (tried || wrong[name] !== "wanted") ? W[wrong[name]] : ""} />`;
  return html`<form onSubmit=${show} novalidate>
    <section class="card-section"><h2>${W.when}</h2>
      <p class="picks">${Object.entries(spansOf(today)).map(([name, [first, last]]) => html`<button type="button"
        class="pick" key=${name} aria-pressed=${now.first === first && now.last === last ? "true" : "false"}
        onClick=${() => set({ first, last, photos: [] })}>${W.spans[name]}</button>`)}</p>
      <div class="pair">${date("first")}${date("last")}</div></section>
    <section class="card-section"><fieldset><legend><h2>${W.parts}</h2></legend>
      <div class="report-parts">${PARTS.map((name) => box(W.part[name], "parts", name))}</div></fieldset>
      ${empty && html`<p class="form-error" role="alert" data-wrong tabindex="-1">${W.no_part}</p>`}
      ${now.parts.includes("changes") && html`<p class="quiet">${W.changes_hint}</p>`}
      <${TextField} label=${W.heading} text=${now.title} maxlength=${80} hint=${W.heading_hint(pond.name)}
        onText=${(/** @type {string} */ title) => set({ title })} /></section>
    ${now.parts.includes("photos") && !wrong.first && !wrong.last && html`<${ReportPhotos} pond=${pond.id}
      first=${now.first} last=${now.last} chosen=${now.photos} onChoose=${(/** @type {string} */ sum) =>
        set({ photos: flipped(now.photos, sum) })} error=${many ? W.most(MOST_PHOTOS) : ""} />`}
    <section class="card-section"><fieldset><legend><h2>${W.own}</h2></legend><p class="quiet">${W.own_hint}</p>
      ${OWN.map((name) => box(W[name], "own", name))}</fieldset></section>
    ${error && html`<p class="notice" role="alert">${error}</p>`}
    <p class="inset"><button type="submit" class="wide-button">${W.show}</button></p>
    <p class="inset quiet">${W.shown_hint}</p>
  </form>`;
}

/** The year on a page, this one and the last. @param {{pond: string, today: string}} props */
function Years({ pond, today }) {
  const [error, fail] = useState("");
  const [own, choose] = useState(false);
  const year = Number(today.slice(0, 4));
  return html`<section class="card-section"><h2>${W.ring}</h2><p class="quiet">${W.ring_hint}</p>
    <label class="choice"><input type="checkbox" checked=${own} onChange=${() => choose(!own)} />
      <span>${W.ring_own}</span></label>
    ${[year, year - 1].map((one) => html`<a class="choice" key=${one}
      href=${`/year-ring?pond=${pond}&year=${one}${own ? "&changes=true" : ""}`}
      onClick=${(event) => {
        event.preventDefault();
        openAtHome(event.currentTarget.href).then(fail);
      }}><span>${W.ring_of(String(one))}</span></a>`)}
    ${error && html`<p class="form-error" role="alert">${error}</p>`}</section>`;
}
