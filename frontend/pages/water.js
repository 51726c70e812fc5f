// Water: the latest reading of each quantity with its age; several readings in at once; the list out.
import { html, useId, useState } from "../ui.js";
import { isReading, standingOf } from "../domain/fold.js";
import { age, number, parsed, when } from "../formats.js";
import { EntryLine } from "../parts/entry-line.js";
import { NumberField, PondPick, rangeError } from "../parts/fields.js";
import { Icon } from "../parts/icons.js";
import { useNow, useStore } from "../store.js";
import { makeEntry, record } from "../record.js";
import { go, useHalfTyped } from "../router.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Seen} Seen */

const PAGE = 30;
/** Where water can be taken from, the pond first. @type {Record<string, string>} */
const POINTS = words.water.points;

/** @param {{query: URLSearchParams}} props */
export function Water({ query }) {
  const { plan, seen, pond } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  if (query.has("add") && plan && here) return html`<${AddReadings} plan=${plan} pond=${here} />`;
  const readings = standingOf(seen)
    .filter(({ entry }) => entry.kind === "reading" && entry.pond === here?.id).reverse();
  const last = readings[0];
  return html`<main class="page water">
    <header class="page-head">
      <div><h1>${words.water.title}</h1>
        <p class="quiet">${last ? words.water.last(when(last.at, last.entry.zone, now_ms)) : ""}</p></div>
      ${here && html`<a class="round-button" href="/water?add">${words.water.add}</a>`}
    </header>
    <${PondPick} />
    ${readings.length === 0 && html`<div class="empty"><${Icon} name="water" /><p>${words.water.none}</p></div>`}
    <${Latest} readings=${readings} plan=${plan} now_ms=${now_ms} />
    <${All} readings=${readings} now_ms=${now_ms} />
  </main>`;
}

/** @param {{readings: Seen[], plan: import("../store.js").Plan|null, now_ms: number}} props newest first */
function Latest({ readings, plan, now_ms }) {
  const first = new Map();
  for (const one of readings) {
    const key = `${one.entry.quantity}/${one.entry.point ?? "pond"}`;
    if (!first.has(key)) first.set(key, one);
  }
  const order = plan?.quantities.map((one) => one.quantity) ?? [];
  const cards = [...first.values()].sort((a, b) => order.indexOf(a.entry.quantity) - order.indexOf(b.entry.quantity));
  if (cards.length === 0) return null;
  return html`<section aria-label=${words.water.latest}><ul class="answers">${cards.map((one) => {
    const known = plan?.quantities.find((quantity) => quantity.quantity === one.entry.quantity);
    const point = one.entry.point && one.entry.point !== "pond" ? POINTS[one.entry.point] : "";
    return html`<li class="answer-card" key=${one.id}>
      <h2>${known?.label ?? one.entry.quantity}${point && html` <span class="quiet">${point}</span>`}</h2>
      <p class="value"><b>${number(one.entry.value)}</b> <span class="unit">${known?.unit}</span></p>
      <p class="quiet">${age(one.at, now_ms)}</p>
    </li>`;
  })}</ul></section>`;
}

/** @param {{readings: Seen[], now_ms: number}} props */
function All({ readings, now_ms }) {
  const [shown, show] = useState(PAGE);
  if (readings.length === 0) return null;
  return html`<section class="part"><h2>${words.water.all}</h2>
    <ul class="entry-list">${readings.slice(0, shown).map((one) =>
      html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul>
    ${readings.length > shown && html`<p class="centre"><button type="button" class="plain-button"
      onClick=${() => show(shown + PAGE)}>${words.water.more}</button></p>`}
  </section>`;
}

/** @param {{plan: import("../store.js").Plan, pond: import("../domain/types.js").Pond}} props */
function AddReadings({ plan, pond }) {
  const { seen } = useStore();
  const [texts, type] = useState(/** @type {Record<string, string>} */ ({}));
  const [point, from] = useState("pond");
  const [tried, attempt] = useState(false);
  const [nothing, warn] = useState(false);
  const filled = plan.quantities.filter(({ quantity }) => (texts[quantity] ?? "").trim() !== "");
  useHalfTyped(filled.length > 0);
  const save = async (event) => {
    event.preventDefault();
    attempt(true);
    warn(filled.length === 0);
    if (filled.length === 0 || filled.some((one) => rangeError(texts[one.quantity], one))) return;
    const entries = filled.map(({ quantity }) =>
      makeEntry("reading", pond.id, { quantity, value: parsed(texts[quantity]), point }));
    await record(entries, words.water.saved(entries.length));
    go("/water", true);
  };
  const facts = standingOf(seen);
  const lastOf = (quantity) => facts.filter((one) => isReading(one, pond.id, quantity, point)).pop()?.entry.value;
  return html`<main class="page">
    <header class="page-head"><div><h1>${words.water.add_title}</h1>
      <p class="quiet">${words.water.fill_one}</p></div></header>
    <form class="form" onSubmit=${save} novalidate>
      <${PondPick} />
      <${PointPick} point=${point} onPick=${from} />
      ${plan.quantities.map((one) => {
        const text = texts[one.quantity] ?? "";
        const last = lastOf(one.quantity);
        return html`<${NumberField} key=${one.quantity} ...${one} text=${text} start=${last ?? one.low}
          onText=${(next) => type({ ...texts, [one.quantity]: next })}
          error=${tried && text ? rangeError(text, one) : ""}
          hint=${last === undefined ? "" : `${words.water.before} ${number(last)}`} />`;
      })}
      ${nothing && html`<p class="form-error" role="alert">${words.water.nothing_filled}</p>`}
      <div class="pair"><button type="submit" class="wide-button">${words.water.save}</button>
        <a class="plain-button" href="/water">${words.card.cancel}</a></div>
    </form>
  </main>`;
}

/** @param {{point: string, onPick: (point: string) => void}} props */
function PointPick({ point, onPick }) {
  const id = useId();
  return html`<p class="pond-pick"><label for=${id}>${words.water.point}</label>
    <select id=${id} value=${point} onChange=${(event) => onPick(event.target.value)}>
      ${Object.entries(POINTS).map(([value, text]) => html`<option key=${value} value=${value}>${text}</option>`)}
    </select></p>`;
}
