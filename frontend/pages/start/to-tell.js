// What is not known of the pond yet: each with what it would be good for, one tap from where it is told, or left.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { standingJobs } from "../../domain/standing-jobs.js";
import { untold } from "../../domain/untold.js";
import { PondPick } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { makeEntry, record } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { startWords } from "../../words/start-words.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */

const W = startWords;
const ASK = /** @type {Record<string, [string, string]>} */ (/** @type {any} */ (W.ask));
/** By question: in which group it stands, and where it is told. @type {Record<string, [string, string]>} */
const WHERE = {
  volume: ["tonight", "/pond"], capful: ["tonight", "/pond"], source: ["tonight", "/water?kit"],
  place: ["tonight", "/warmth?place"], cover: ["warmth", "/warmth?walls"], walls: ["warmth", "/warmth?walls"],
  water: ["warmth", "/warmth?record=water"], air: ["warmth", "/warmth"], heater: ["warmth", "/warmth?heater"],
  tariff: ["warmth", "/warmth?tariff"], band: ["warmth", "/warmth?band"], fish: ["handy", "/changes?stock"],
  kit: ["handy", "/kit?new"], places: ["handy", "/jobs?places"], ring: ["handy", "/pond"],
};
/** What a pond may do without, and which standing jobs go with it.
 * @type {Record<string, (job: StandingJob) => boolean>} */
const MAY_LACK = {
  source: () => false, cover: ({ windows }) => "on" in windows && "off" in windows,
  heater: ({ shape }) => shape === "setting",
};

export function ToTell() {
  const { plan, pond } = useStore();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  return html`<main class="page to-tell">
    <header class="page-head"><div><h1>${W.to_tell}</h1><p class="quiet">${W.to_tell_hint}</p></div></header>
    <div class="inset"><${PondPick} /></div>
    ${plan && here ? html`<${Questions} plan=${plan} pond=${here} />`
    : html`<p class="empty">${words.round.no_plan}</p>`}
  </main>`;
}

/** @param {{plan: Plan, pond: Pond}} props */
function Questions({ plan, pond }) {
  const { seen } = useStore();
  const today = civilDate(pond.zone, useNow());
  const asked = untold(pond, plan);
  const left = pond.left_untold ?? [];
  const jobs = standingJobs(seen, pond.id, today);
  const set = (/** @type {string} */ target, /** @type {string} */ field, /** @type {any} */ value,
    /** @type {string|null} */ since) => makeEntry("set", pond.id, { target, field, value, effective_from: since });
  const told = (/** @type {string[]} */ names) => set("pond", "left_untold", names, null);
  const leave = (/** @type {string} */ name) => {
    const idle = jobs.filter((job) => job.active && MAY_LACK[name]?.(job));
    return record([told([...left, name]), ...idle.map((job) => set(`job/${job.id}`, "active", false, today))],
      W.left_said(ASK[name][0], idle.map((job) => job.text).join(", ")));
  };
  const off = (/** @type {string} */ name) => jobs.filter((job) => !job.active && MAY_LACK[name]?.(job));
  return html`${asked.length === 0 && html`<p class="empty">${W.to_tell_none}</p>`}
    ${Object.entries(W.groups).map(([group, title]) => {
      const names = asked.filter((name) => WHERE[name][0] === group);
      return names.length > 0 && html`<section class="part" key=${group}><h2>${title}</h2>
        <ul>${names.map((name) => html`<${Question} key=${name} name=${name} onLeave=${() => leave(name)} />`)}</ul>
      </section>`;
    })}
    ${left.length > 0 && html`<section class="part"><details class="workings"><summary>${W.left(left.length)}</summary>
      <ul>${left.map((name) => ASK[name] && html`<li class="entry-line" key=${name}><span>${ASK[name][0]}
          ${off(name).length > 0 && html`<br /><a class="text-link" href="/jobs">${W.jobs_off}</a>`}</span>
        <button type="button" class="text-button" aria-label=${W.of(W.ask_again, ASK[name][0])}
          onClick=${() => record([told(left.filter((one) => one !== name))], ASK[name][0])}>${W.ask_again}</button>
      </li>`)}</ul></details></section>`}`;
}

/** @param {{name: string, onLeave: () => void}} props */
function Question({ name, onLeave }) {
  const [title, why] = ASK[name];
  const [, to] = WHERE[name];
  const said = MAY_LACK[name] ? W.none_here : W.leave;
  return html`<li class="question"><a class="choice" href=${`${to}${to.includes("?") ? "&" : "?"}from=to-tell`}>
      <span>${title}<small>${why}</small></span><${Icon} name="on" /></a>
    <button type="button" class="text-button" aria-label=${W.of(said, title)} onClick=${onLeave}>${said}</button></li>`;
}
