// A day gone by: its round as it was shown then, what became of each job, and what else was recorded.
import { html, useMemo } from "../../ui.js";
import { nameOf } from "../../domain/today.js";
import { EntryLine } from "../../parts/entry-line.js";
import { zoneOf } from "../../record.js";
import { roundWords } from "../../words/round-words.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { RoundStop } from "./round-stop.js";
import { dayGoneBy, walk } from "./round-view.js";

/** @param {{date: string, now_ms: number}} props */
export function PastDay({ date, now_ms }) {
  const { plan, seen } = useStore();
  const { stops, rest } = useMemo(() => dayGoneBy(plan, seen, date, now_ms), [plan, seen, date]);
  const zone = zoneOf();
  if (stops.length + rest.length === 0) return html`<p class="empty">${words.round.nothing_recorded}</p>`;
  return html`${walk(stops).map((part) => html`<section key=${part.part} class="part">
      <h2>${/** @type {any} */ (words.parts)[part.part]}</h2>
      <ol class="path">${part.places.flatMap((place) => [
        html`<li class="place" key=${`at ${place.place}`}><h3>${place.place}</h3></li>`,
        ...place.stops.map((stop) => html`<${RoundStop} key=${nameOf(stop.job)} stop=${stop} open=${false} next=${false}
          live=${false} zone=${zone} now_ms=${now_ms} onOpen=${() => {}} />`)])}</ol>
    </section>`)}
    ${rest.length > 0 && html`<section class="part">
      <h2>${stops.length > 0 ? roundWords.also_recorded : words.round.recorded}</h2>
      <ul class="entry-list">${rest.map((one) =>
        html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul></section>`}`;
}
