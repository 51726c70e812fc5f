// Water: the latest answers, trends, the buffer plan, what was worked out, the list; and the way to its forms.
import { html, useMemo, useState } from "../../ui.js";
import { standingOf } from "../../domain/fold.js";
import { when } from "../../formats.js";
import { AnswerCard } from "../../parts/answer-card.js";
import { EntryLine } from "../../parts/entry-line.js";
import { PondPick } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { useNow, useStore } from "../../store.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";
import { KitPage, RangesPage, UnitsPage } from "./source-and-kit.js";
import { ENTRY_FORMS, EntryForm } from "./entry-forms.js";
import { AddReadings } from "./readings.js";
import { BufferPlan, Findings, Trends } from "./water-parts.js";
import { answersOf, isOfWater } from "./water-view.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */

const W = waterWords;
const PAGE = 30;
/** What else this page leads to, by the first word of the query. @type {Record<string, any>} */
const FORMS = { add: AddReadings, record: EntryForm, kit: KitPage, ranges: RangesPage, units: UnitsPage };

/** @param {{query: URLSearchParams}} props */
export function Water({ query }) {
  const { plan, seen, pond } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  const facts = useMemo(() => standingOf(seen).filter(({ entry }) => entry.pond === here?.id), [seen, here?.id]);
  const form = [...query.keys()].find((name) => FORMS[name]);
  if (form && plan && here) {
    const Form = FORMS[form];
    // Another pond is another form; readings typed already go with the choice.
    const key = form === "add" ? form : `${form}/${query.get(form)}/${here.id}`;
    return html`<${Form} key=${key} plan=${plan} pond=${here} facts=${facts}
      of=${query.get(form)} now_ms=${now_ms} />`;
  }
  const readings = facts.filter(isOfWater).reverse();
  const water = plan?.water.find((one) => one.pond === here?.id);
  const answers = here ? answersOf(plan, water, here.id, facts, now_ms) : [];
  const last = readings[0];
  return html`<main class="page water">
    <header class="page-head">
      <div><h1>${W.title}</h1>
        <p class="quiet">${last ? W.last(when(last.at, last.entry.zone, now_ms)) : ""}</p></div>
      ${here && html`<a class="round-button" href="/water?add">${W.add}</a>`}
    </header>
    <${PondPick} />
    ${answers.length === 0 && html`<div class="empty"><${Icon} name="water" /><p>${W.none}</p></div>`}
    ${answers.length > 0 && here && html`<section aria-label=${W.latest}><ul class="answers">${answers.map((one) =>
      html`<${AnswerCard} key=${one.key} one=${one} zone=${here.zone} now_ms=${now_ms} />`)}</ul></section>`}
    ${plan && here && water && html`<${Trends} plan=${plan} pond=${here} water=${water} facts=${facts}
      now_ms=${now_ms} />`}
    ${plan && here && html`<${BufferPlan} plan=${plan} pond=${here} now_ms=${now_ms} />`}
    ${water && html`<${Findings} water=${water} />`}
    ${here && html`<${Links} />`}
    <${All} readings=${readings} now_ms=${now_ms} />
  </main>`;
}

function Links() {
  const link = (href, text) => html`<a class="pick" key=${href} href=${href}>${text}</a>`;
  return html`<nav class="part" aria-label=${W.record}><h2>${W.record}</h2><p class="picks">
      ${Object.entries(ENTRY_FORMS).map(([kind, { title }]) => link(`/water?record=${kind}`, title))}</p></nav>
    <nav class="part" aria-label=${W.settings}><h2>${W.settings}</h2><p class="picks">
      ${link("/water?kit", W.kit_page)}${link("/water?ranges", W.ranges)}${link("/water?units", W.units)}
      ${link("/past", words.titles.past)}</p></nav>`;
}

/** @param {{readings: Seen[], now_ms: number}} props newest first */
function All({ readings, now_ms }) {
  const [shown, show] = useState(PAGE);
  if (readings.length === 0) return null;
  return html`<section class="part"><h2>${W.all}</h2>
    <ul class="entry-list">${readings.slice(0, shown).map((one) =>
      html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul>
    ${readings.length > shown && html`<p class="centre"><button type="button" class="plain-button"
      onClick=${() => show(shown + PAGE)}>${W.more}</button></p>`}
  </section>`;
}
