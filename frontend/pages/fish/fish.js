// The Fish page: what wants care first, today's feed, then each fish with its length, weight and growth; and the way to
// the register, to bowling and to what was seen.
import { html } from "../../ui.js";
import { closedHere, fishHere } from "../../domain/fish-here.js";
import { fishPageWords } from "../../words/fish-words.js";
import { PondPick } from "../../parts/fields.js";
import { makeEntry, record } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { fullDate } from "../past/past-understood.js";
import { Bowling } from "./bowling.js";
import { FishCard } from "./fish-card.js";
import { Feed } from "./fish-feed.js";
import { FoodForm, foodIsNews } from "./food-form.js";
import { LabelForm } from "./label-form.js";
import { FishMoveForm } from "./move-form.js";
import { OneFish } from "./one-fish.js";
import { RegisterForm } from "./register-form.js";
import { FirstAid, Lately, Patterns, SeenForm } from "./seen.js";

/** @typedef {import("../../domain/fish-types.js").FishPond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/fish-types.js").FishState} FishState */
/** @typedef {import("../../domain/fish-types.js").PondFish} PondFish */
/** @typedef {{plan: Plan, pond: Pond, fish: FishState[], page: PondFish|undefined, of: string|null, now_ms: number}}
 *   FishProps */

const W = fishPageWords;
/** @type {Record<string, any>} */
const FORMS = {
  add: RegisterForm, edit: RegisterForm, move: FishMoveForm, one: OneFish, bowl: Bowling, seen: SeenForm, aid: FirstAid,
  food: FoodForm, label: LabelForm,
};

/** @param {{query: URLSearchParams}} props */
export function Fish({ query }) {
  const { plan, pond, seen } = useStore();
  const now_ms = useNow();
  /** @type {Pond|undefined} */
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (!plan || !here) return html`<main class="page"><header class="page-head"><h1>${W.title}</h1></header>
    <p class="empty">${W.no_plan}</p></main>`;
  const fish = fishHere(plan, seen, here.id);
  const page = plan.fish?.find((one) => one.pond === here.id);
  const form = [...query.keys()].find((name) => FORMS[name]);
  const shared = { plan, pond: here, fish, page, now_ms };
  if (form) {
    const Form = FORMS[form];
    return html`<${Form} key=${`${form}/${query.get(form)}/${here.id}`} ...${shared} of=${query.get(form) || null} />`;
  }
  const [there, gone] = [fish.filter((one) => one.here > 0), fish.filter((one) => one.here === 0)];
  // Who stands out comes first; the rest as home lists them.
  const order = [...there].sort((a, b) => Number(!!b.stands_out) - Number(!!a.stands_out));
  return html`<main class="page fish">
    <header class="page-head"><h1>${W.title}</h1><a class="round-button" href="/fish?add">${W.add}</a></header>
    <div class="inset"><${PondPick} /></div>
    <p class="picks part"><a class="pick" href="/fish?bowl">${W.bowl}</a>
      <a class="pick" href="/fish?seen">${W.seen}</a></p>
    <${Patterns} page=${page} />
    <${Feed} page=${page} pond=${here} news=${foodIsNews(seen, plan, here.id)} />
    <section class="part" aria-label=${W.all}>
      ${there.length === 0 ? html`<div class="empty"><p>${W.none}</p><p class="quiet">${W.none_hint}</p></div>`
    : html`<h2>${W.all}</h2><div class="fish-cards">${order.map((one) => html`<${FishCard} key=${one.id}
        fish=${one} />`)}</div>`}</section>
    <${Lately} pond=${here} now_ms=${now_ms} />
    <p class="picks part"><a class="pick" href="/fish?label">${W.label}</a></p>
    ${gone.length > 0 && html`<${Gone} fish=${gone} />`}
    <${Closed} fish=${closedHere(plan, seen, here.id)} pond=${here.id} />
  </main>`;
}

/** @param {{fish: FishState[]}} props */
function Gone({ fish }) {
  return html`<section class="part"><details class="workings"><summary>${W.gone_title} (${fish.length})</summary>
    <ul>${fish.map((one) => html`<li key=${one.id}><a class="choice" href=${`/fish?one=${one.id}`}><span>${one.name}
      <small>${[one.gone && W.gone[one.gone], one.gone_on && fullDate(one.gone_on)].filter(Boolean).join(", ")}</small>
      </span></a></li>`)}</ul></details></section>`;
}

/** Taken off the list by mistake, perhaps: back with one tap.
 * @param {{fish: {id: string, name: string}[], pond: string}} props */
function Closed({ fish, pond }) {
  if (fish.length === 0) return null;
  const back = (/** @type {{id: string, name: string}} */ { id, name }) => record([makeEntry("set", pond,
    { target: `fish/${id}`, field: "closed", value: false, effective_from: null })], W.is_back(name));
  return html`<section class="part"><details class="workings"><summary>${W.closed_title} (${fish.length})</summary>
    <ul>${fish.map((one) => html`<li class="entry-line" key=${one.id}><div class="entry-what"><p>${one.name}</p></div>
      <button type="button" class="text-button" aria-label=${W.of(W.put_back, one.name)}
        onClick=${() => back(one)}>${W.put_back}</button></li>`)}</ul></details></section>`;
}
