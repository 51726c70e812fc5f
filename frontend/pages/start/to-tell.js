// What is not known of the pond yet: each with what it would be good for, one tap from where it is told, or left.
import { html } from "../../ui.js";
import { untold } from "../../domain/untold.js";
import { PondPick } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { makeEntry, record } from "../../record.js";
import { useStore } from "../../store.js";
import { startWords } from "../../words/start-words.js";

/** @typedef {import("../../domain/types.js").Pond} Pond */

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
/** What a pond may do without: then there is none of it, and it is not just left. */
const MAY_LACK = new Set(["source", "cover", "heater"]);

export function ToTell() {
  const { plan, pond } = useStore();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  const asked = plan && here ? untold(here, plan) : [];
  const left = here?.left_untold ?? [];
  const leave = (/** @type {string[]} */ names, /** @type {string} */ said) => record([makeEntry("set", here?.id ?? "",
    { target: "pond", field: "left_untold", value: names, effective_from: null })], said);
  return html`<main class="page to-tell">
    <header class="page-head"><div><h1>${W.to_tell}</h1><p class="quiet">${W.to_tell_hint}</p></div></header>
    <div class="inset"><${PondPick} /></div>
    ${here && asked.length === 0 && html`<p class="empty">${W.to_tell_none}</p>`}
    ${Object.entries(W.groups).map(([group, title]) => {
      const names = asked.filter((name) => WHERE[name][0] === group);
      return names.length > 0 && html`<section class="part" key=${group}><h2>${title}</h2>
        <ul>${names.map((name) => html`<${Question} key=${name} name=${name} onLeave=${() =>
          leave([...left, name], W.left_said(ASK[name][0]))} />`)}</ul></section>`;
    })}
    ${left.length > 0 && html`<section class="part"><details class="workings"><summary>${W.left(left.length)}</summary>
      <ul>${left.map((name) => ASK[name] && html`<li class="entry-line" key=${name}><span>${ASK[name][0]}</span>
        <button type="button" class="text-button" aria-label=${W.of(W.ask_again, ASK[name][0])}
          onClick=${() => leave(left.filter((one) => one !== name), ASK[name][0])}>${W.ask_again}</button>
      </li>`)}</ul></details></section>`}
  </main>`;
}

/** @param {{name: string, onLeave: () => void}} props */
function Question({ name, onLeave }) {
  const [title, why] = ASK[name];
  const [, to] = WHERE[name];
  const said = MAY_LACK.has(name) ? W.none_here : W.leave;
  return html`<li class="question"><a class="choice" href=${`${to}${to.includes("?") ? "&" : "?"}from=to-tell`}>
      <span>${title}<small>${why}</small></span><${Icon} name="on" /></a>
    <button type="button" class="text-button" aria-label=${W.of(said, title)} onClick=${onLeave}>${said}</button></li>`;
}
