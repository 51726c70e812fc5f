// What somebody saw on the fish: a quick form, first aid that is safe whatever it is, and what the sightings share.
// Never a diagnosis.
import { html, useState } from "../../ui.js";
import { addDays, civilDate } from "../../domain/civil.js";
import { standingOf } from "../../domain/fold.js";
import { fishPageWords, seenWords } from "../../words/fish-words.js";
import { EntryLine } from "../../parts/entry-line.js";
import { FieldForm } from "../../parts/field-form.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { PhotoField } from "../../parts/photo-field.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { useStore } from "../../store.js";
import { whose } from "../save-settings.js";
import { Ring } from "../round/wrong.js";
import { WrongRow } from "./bowling-parts.js";

/** @typedef {import("./fish.js").FishProps} FishProps */
/** @typedef {import("../../parts/form-values.js").Field} Field */

const W = seenWords;
/** How far back the page tells what was seen; no more than this many lines of it. */
const DAYS = 60;
const LINES = 6;

/** @param {FishProps} props   with `of` that fish is chosen already */
export function SeenForm({ plan, pond, fish: all, of, now_ms }) {
  const { skew_s } = useStore();
  const [photos, pick] = useState(/** @type {string[]} */ ([]));
  const [at, when] = useState("");
  const [wrong, fail] = useState("");
  const here = all.filter((one) => one.here > 0);
  /** @type {Field[]} */
  const which = here.length === 0 ? [] : [{ name: "fish", label: W.fish, kind: "many", hint: W.fish_hint,
    options: Object.fromEntries(here.map((one) => [one.id, one.name])) }];
  /** @type {Field[]} */
  const fields = [{ name: "signs", label: W.signs, kind: "many", options: W.signs_named }, ...which,
    { name: "text", label: W.text, kind: "text", most: 2000, lines: 2 }];
  const check = (/** @type {Record<string, any>} */ { signs, text }) => /** @type {Record<string, string>} */ (
    { signs: signs.length === 0 && !text && photos.length === 0 ? W.nothing : "" });
  const save = async (/** @type {Record<string, any>} */ { signs, fish = [], text }) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    await record([makeEntry("fish_seen", pond.id, { signs, fish, ...text ? { text } : {},
      ...photos.length ? { photos } : {} }, momentMs(at, pond.zone, skew_s))], W.saved);
    go("/fish?aid", true);
  };
  return html`<${FieldForm} title=${W.title} hint=${[whose(plan, pond), W.hint].filter(Boolean).join(": ")}
    sections=${[{ fields }]} before=${{ signs: "", fish: of ?? "", text: "" }} check=${check} back="/fish"
    onSave=${save}>
    <div role="group" aria-label=${W.photos}><${PhotoField} sums=${photos} onChange=${pick} /></div>
    <${MomentField} label=${W.happened} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms} error=${wrong} />
  </${FieldForm}>`;
}

export function FirstAid() {
  return html`<main class="page fish">
    <header class="page-head"><div><h1>${W.aid}</h1><p class="quiet">${W.aid_hint}</p></div></header>
    <ol class="first-steps">${W.steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol>
    <p class="inset"><a class="wide-button" href="/water?add">${W.test}</a></p>
    <${Ring} />
    <${WrongRow} />
    <p class="centre"><a class="plain-button" href="/fish">${fishPageWords.back}</a></p></main>`;
}

/** What the sightings have in common, and once what to do first.
 * @param {{page: import("../../domain/fish-types.js").PondFish|undefined}} props */
export function Patterns({ page }) {
  const patterns = page?.patterns ?? [];
  if (patterns.length === 0) return null;
  return html`<section class="part warnings" aria-label=${W.patterns}><h2>${W.patterns}</h2>
    <div class="finding">${patterns.map((one) => html`<div key=${one.title}><h3>${one.title}</h3>
      <p>${one.says}</p></div>`)}
      <ol class="first-things">${patterns[0].steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol></div>
  </section>`;
}

/** @param {{pond: import("../../domain/types.js").Pond, now_ms: number}} props */
export function Lately({ pond, now_ms }) {
  const { seen } = useStore();
  const since = addDays(civilDate(pond.zone, now_ms), -DAYS);
  const lines = standingOf(seen).filter(({ entry, on }) => entry.kind === "fish_seen" && entry.pond === pond.id
    && on >= since).reverse();
  if (lines.length === 0) return null;
  return html`<section class="part" aria-label=${W.lately}><h2>${W.lately}</h2>
    <ul class="entry-list">${lines.slice(0, LINES).map((one) => html`<${EntryLine} key=${one.id} one=${one}
      now_ms=${now_ms} />`)}</ul></section>`;
}
