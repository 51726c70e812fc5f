// What the fish of a pond are fed today and why, how much fish there is, and how long the food lasts.
import { html } from "../../ui.js";
import { number } from "../../formats.js";
import { fishPageWords } from "../../words/fish-words.js";
import { Workings } from "../../parts/workings.js";
import { mass } from "./fish-mass.js";

/** @typedef {import("../../domain/fish-types.js").PondFish} PondFish */
/** @typedef {import("../../domain/fish-types.js").FishPond} FishPond */

const W = fishPageWords;

/** `news`: food was told of here since home last reckoned.
 * @param {{page: PondFish|undefined, pond: FishPond, news: boolean}} props */
export function Feed({ page, pond, news }) {
  if (!page) return html`<section class="part"><p class="quiet">${W.follows}</p></section>`;
  return html`<div class="fish-sums part">
    ${page.feed && html`<${Today} feed=${page.feed} set=${!!(pond.feed_g_per_day || page.stock?.mass_g)} />`}
    ${page.stock && html`<${Stock} stock=${page.stock} />`}
    <${Food} food=${news ? null : page.food} told=${pond.food} />
    ${(page.says ?? []).map((line) => html`<p key=${line}>${line}</p>`)}</div>`;
}

/** `set`: there is something to reckon from; what is missing then is a reading.
 * @param {{feed: NonNullable<PondFish["feed"]>, set: boolean}} props */
function Today({ feed, set }) {
  const much = feed.left_g ?? feed.day_g;
  const open = feed.state === "open" && much !== null;
  // "Open" without an amount: an older home has nothing to reckon from.
  const unknown = feed.state === "not_known" || (feed.state === "open" && !open);
  const none = feed.fed_g > 0 ? W.feed_no_more : W.feed_none;
  const big = open ? W.feed_amount(number(much, 0), feed.meals) : unknown ? W.feed_not_known : none;
  return html`<section class="finding" aria-label=${W.feed}><h2>${W.feed}</h2>
    <p class="big">${big}</p>
    ${open && feed.kind && html`<p>${feed.kind}</p>`}
    <p>${feed.reason}</p>
    ${feed.appetite_says && html`<p>${feed.appetite_says}</p>`}
    ${feed.fed_g > 0 && html`<p class="quiet">${W.fed(number(feed.fed_g, 0))}</p>`}
    <p class="picks">${!unknown ? html`<a class="pick" href="/round">${W.to_round}</a>`
    : set ? html`<a class="pick" href="/water?add">${W.measure}</a>`
    : html`<a class="pick" href="/changes?stock">${W.stock_form}</a>`}</p>
    <${Workings} workings=${feed.workings} /></section>`;
}

/** @param {{stock: NonNullable<PondFish["stock"]>}} props */
function Stock({ stock }) {
  const band = stock.mass_g && W.about(mass(stock.mass_g.middle), mass(stock.mass_g.low), mass(stock.mass_g.high));
  return html`<section class="finding" aria-label=${W.stock}><h2>${W.stock}</h2>
    ${stock.count !== null && html`<p class="big">${W.stock_count(stock.count)}</p>`}
    ${band && html`<p>${band}</p>`}
    <p class="quiet">${stock.says}</p>
    <p class="picks"><a class="pick" href="/changes?stock">${W.stock_form}</a></p>
    <${Workings} workings=${stock.workings} /></section>`;
}

/** What is left; told of here and not reckoned yet, as it was told; of no food yet, the way to tell.
 * @param {{food: PondFish["food"]|undefined, told: FishPond["food"]}} props */
function Food({ food, told }) {
  const lasts = food?.days_left ? W.days_left(Math.round(food.days_left)) : "";
  const cost = food?.cost_per_month ? W.a_month(`${food.currency} ${number(food.cost_per_month, 2)}`) : "";
  const grams = food?.left_g ?? told?.stock_g;
  return html`<section class="finding" aria-label=${W.food}><h2>${W.food}</h2>
    ${grams !== undefined && html`<p class="big">${mass(grams)}</p>`}
    ${food ? html`<p>${[food.low && W.low, lasts, cost].filter(Boolean).join(" · ")}</p>
      <p class="quiet">${food.says}</p>` : html`<p class="quiet">${told ? W.follows : W.food_none}</p>`}
    <p class="picks"><a class="pick" href="/fish?food">${W.food_form}</a></p>
    <${Workings} workings=${food?.workings ?? null} /></section>`;
}
