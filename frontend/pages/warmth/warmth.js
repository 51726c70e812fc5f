// Warmth: the water now, tonight covered and open, heater, season, cost, filter house; and the way to its forms.
import { html, useMemo, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { standingOf } from "../../domain/fold.js";
import { when } from "../../formats.js";
import { EntryLine } from "../../parts/entry-line.js";
import { PondPick } from "../../parts/fields.js";
import { FindingCard } from "../../parts/finding-card.js";
import { Icon } from "../../parts/icons.js";
import { useNow, useStore } from "../../store.js";
import { shownQuantity, shownValue } from "../../units.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { warmthWords } from "../../words/warmth-words.js";
import { words } from "../../words.js";
import { RECORDS, WarmthRecord } from "./warmth-records.js";
import { ScoreLink } from "../book/score-link.js";
import { SETTINGS_FORMS } from "./warmth-settings.js";
import { Lacking, Season, Tonight } from "./warmth-parts.js";
import { waterNow, warmthFacts } from "./warmth-view.js";
import { WriteDown } from "./warmth-write.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").PondWarmth} PondWarmth */

const W = warmthWords;
const PAGE = 8;
/** @type {Record<string, any>} */
const FORMS = { record: WarmthRecord, ...SETTINGS_FORMS };

/** @param {{query: URLSearchParams}} props */
export function Warmth({ query }) {
  const { plan, seen, pond } = useStore();
  const now_ms = useNow();
  const here = plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0];
  const facts = useMemo(() => standingOf(seen).filter(({ entry }) => entry.pond === here?.id), [seen, here?.id]);
  if (!plan || !here) return html`<main class="page"><header class="page-head"><h1>${W.title}</h1></header>
    <div class="empty"><${Icon} name="warmth" /><p>${W.no_plan}</p></div></main>`;
  const form = [...query.keys()].find((name) => FORMS[name]);
  if (form) {
    const Form = FORMS[form];
    return html`<${Form} key=${`${form}/${query.get(form)}/${here.id}`} plan=${plan} pond=${here}
      of=${query.get(form)} now_ms=${now_ms} />`;
  }
  const warmth = plan.warmth?.find((one) => one.pond === here.id);
  return html`<main class="page warmth">
    <${Head} plan=${plan} pond=${here} warmth=${warmth} facts=${facts} now_ms=${now_ms} />
    <${PondPick} />
    ${warmth && html`<${Night} plan=${plan} pond=${here} warmth=${warmth} now_ms=${now_ms} />`}
    <p class="notice no-alarm">${W.no_alarm}</p>
    <${WriteDown} plan=${plan} pond=${here} facts=${facts} now_ms=${now_ms} open=${!warmth?.tonight?.air.length} />
    ${warmth && html`<${Worked} plan=${plan} pond=${here} warmth=${warmth} now_ms=${now_ms} />`}
    <${Lately} facts=${warmthFacts(facts)} now_ms=${now_ms} />
    <${Links} />
  </main>`;
}

/** @param {{plan: Plan, pond: Pond, warmth: PondWarmth|undefined, facts: Seen[], now_ms: number}} props */
function Head({ plan, pond, warmth, facts, now_ms }) {
  const known = shownQuantity(plan, pond.id, "temperature_c");
  const now = waterNow(warmth, facts, pond.id);
  const of_today = civilDate(pond.zone, Date.parse(plan.made_at)) === civilDate(pond.zone, now_ms);
  const state = !warmth ? W.older_home : !now && !warmth.tonight ? W.nothing_yet : "";
  return html`<header class="page-head warmth-head"><div><h1>${W.title}</h1>
      ${now && known && html`<p class="water-now"><b>${shownValue(known, now.c)}</b>${" "}
        <span class="quiet">${W.in_water(when(now.at, pond.zone, now_ms))}</span></p>`}</div>
      <a class="round-button" href="/warmth?record=water">${W.add}</a></header>
    ${warmth?.says && html`<p class="warmth-says">${warmth.says}</p>`}
    ${now?.own && html`<p class="warmth-says quiet">${W.read_here}</p>`}
    ${!of_today && html`<p class="warmth-says quiet">${W.worked_out(when(plan.made_at, pond.zone, now_ms))}</p>`}
    ${state && html`<p class="empty">${state}</p>`}`;
}

/** @typedef {{plan: Plan, pond: Pond, warmth: PondWarmth, now_ms: number}} Shown */

/** What needs looking at first, and the night. @param {Shown} props */
function Night({ plan, pond, warmth, now_ms }) {
  const warnings = isOver(plan, now_ms) ? [] : findings(warmth, "warning", W.warnings);
  return html`${warnings.length > 0 && html`<section class="part warnings"><h2>${W.warnings}</h2>
      <div class="findings">${warnings}</div></section>`}
    ${warmth.tonight ? html`<${Tonight} tonight=${warmth.tonight} plan=${plan} pond=${pond} now_ms=${now_ms} />`
      : html`<${Lacking} lines=${warmth.lacking} />`}`;
}

/** The rest of what home worked out; no settings of a plan past its end. @param {Shown} props */
function Worked({ plan, pond, warmth, now_ms }) {
  const ended = isOver(plan, now_ms);
  return html`${ended && html`<p class="notice">${W.ended}</p>`}
    <div class="warmth-sections">${Object.entries(W.sections).map(([section, title]) => {
      const season = section === "season" && !ended
        && (warmth.proposal || pond.season || warmth.settings.length > 0);
      const shown = ended && (section === "heater" || section === "season") ? [] : findings(warmth, section, title);
      return (shown.length > 0 || season) && html`<section class="part" key=${section}><h2>${title}</h2>
        <div class="findings">${shown}
          ${season && html`<${Season} plan=${plan} pond=${pond} warmth=${warmth} now_ms=${now_ms} />`}</div></section>`;
    })}</div>
    ${warmth.tonight && html`<${Lacking} lines=${warmth.lacking} />`}`;
}

/** @param {Plan} plan @param {number} now_ms */
function isOver(plan, now_ms) {
  return now_ms > Date.parse(plan.good_until);
}

/** @param {PondWarmth} warmth @param {string} section @param {string} title the section's */
function findings(warmth, section, title) {
  return warmth.findings.filter((one) => one.section === section)
    .map((one) => html`<${FindingCard} key=${one.id} one=${one} under=${title}>
      ${one.id === "month" && html`<${ScoreLink} subject="month_cost" pond=${warmth.pond} />`}</${FindingCard}>`);
}

/** @param {{facts: Seen[], now_ms: number}} props newest first */
function Lately({ facts, now_ms }) {
  const [shown, show] = useState(PAGE);
  if (facts.length === 0) return null;
  return html`<section class="part"><h2>${W.lately}</h2>
    <ul class="entry-list">${facts.slice(0, shown).map((one) =>
      html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul>
    ${facts.length > shown && html`<p class="centre"><button type="button" class="plain-button"
      onClick=${() => show(shown + PAGE)}>${W.more}</button></p>`}
  </section>`;
}

function Links() {
  return html`<nav class="part" aria-label=${W.forms}><h2>${W.forms}</h2><p class="picks">
    ${Object.keys(SETTINGS_FORMS).map((name) => html`<a class="pick" key=${name} href=${`/warmth?${name}`}>
      ${warmthFormWords.titles[name]}</a>`)}</p></nav>`;
}
