// One fish in the bowl: its clock, photo, length, weight, what was looked at. Odd numbers are asked about and kept if
// the keeper says so.
import { html, useEffect, useRef, useState } from "../../ui.js";
import { lengthDoubt, weightDoubt } from "../../domain/fish-doubts.js";
import { number, parsed } from "../../formats.js";
import { bowlWords } from "../../words/fish-words.js";
import { NumberField, rangeError, showFirstError, TextField } from "../../parts/fields.js";
import { PhotoField } from "../../parts/photo-field.js";
import { makeEntry, record } from "../../record.js";
import { fullDate } from "../past/past-understood.js";
import { LengthIs, measuredSays, WrongRow } from "./bowling-parts.js";
import { mass, massText, massUnitHere, parsedMass } from "./fish-mass.js";
import { aboutFish, lastLength, lengthSays } from "./fish-says.js";

/** @typedef {import("./bowling-draft.js").Session} Session */
/** @typedef {import("./bowling-draft.js").InBowl} InBowl */
/** @typedef {import("../../domain/fish-types.js").FishState} FishState */

const W = bowlWords;
const LENGTH = { low: 1, high: 130, unit: "cm" };
const WEIGHT = { low: 0.1, high: 60_000 };
const TENTH_OUNCE_G = 2.83;
/** Our own rule of thumb; a fish in little water runs short of air and warms up. */
const LONG_S = 180;
/** Longer than this no fish is in a bowl: the phone was off meanwhile. */
const LOST_S = 1800;
/** Some sixty photos. */
const LITTLE_ROOM = 20_000_000;

/** @param {{pond: import("../../domain/types.js").Pond, fish: FishState, session: Session, bowl: InBowl,
 *   change: (made: (now: Session|null) => Session|null) => void,
 *   before: import("../../domain/types.js").Entry[]}} props */
export function BowlFish({ pond, fish, session, bowl, change, before }) {
  const [errors, fail] = useState({ length: "", weight: "", all: "" });
  const [kept, keep] = useState({ length: "", weight: "" });
  const [asks, ask] = useState(false);
  const [again, agree] = useState(false);
  const saving = useRef(false);
  // What comes late, as a photo does, never goes to the next fish.
  const set = (/** @type {Partial<InBowl>} */ more) => change((now) =>
    now?.bowl?.fish === fish.id ? { ...now, bowl: { ...now.bowl, ...more } } : now);
  const leave = () => change((now) => now && { ...now, bowl: null });
  const last = lastLength(fish);
  const head = html`<header class="page-head"><div><h1>${fish.name}</h1><p class="quiet">${[aboutFish(fish),
    fish.marks, last ? W.last(lengthSays(last), fullDate(last.on)) : W.first].filter(Boolean).join(" · ")}</p></div>
  </header>`;
  const typed = bowl.length || bowl.weight || bowl.note || bowl.photos.length || bowl.checked.length;
  if (before.length > 0 && fish.count === 1 && !again && !typed) {
    return html`<main class="page fish bowling">${head}<div class="inset">
      <p class="doubt" role="alert">${W.twice(measuredSays(before[before.length - 1]))} ${W.twice_hint}</p>
      <div class="pair"><button type="button" class="wide-button" onClick=${() => agree(true)}>${W.again}</button>
        <button type="button" class="plain-button" onClick=${leave}>${W.back}</button></div></div></main>`;
  }
  const unit = massUnitHere();
  const [cm, grams] = [parsed(bowl.length), parsedMass(bowl.weight, unit)];
  const lengthKey = `${bowl.length}/${session.length_is}`;
  const odd = {
    length: bowl.length && kept.length !== lengthKey ? lengthDoubt(fish, cm, session.length_is) : null,
    weight: bowl.weight && kept.weight !== bowl.weight ? weightDoubt(fish, grams, unit) : null,
  };
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    // Wet fingers tap twice: a fish that is being written down is not written down again.
    if (saving.current) return;
    const nothing = !bowl.length && !bowl.weight && !bowl.note.trim() && !bowl.photos.length && !bowl.checked.length;
    const found = { length: bowl.length ? rangeError(bowl.length, LENGTH) : "",
      weight: bowl.weight ? massError(grams, unit) : "", all: nothing ? W.nothing : "" };
    fail(found);
    ask(true);
    showFirstError(/** @type {HTMLFormElement} */ (event.currentTarget));
    if (Object.values(found).some(Boolean) || odd.length || odd.weight) return;
    saving.current = true;
    await record([makeEntry("fish_measure", pond.id, measured(fish, session, bowl))], W.saved(fish.name))
      .finally(() => { saving.current = false; });
    leave();
    scrollTo(0, 0);
  };
  return html`<main class="page fish bowling">${head}
    <form class="form" onSubmit=${submit} novalidate>
      <${Clock} since_ms=${bowl.since_ms} onAgain=${() => set({ since_ms: Date.now() })} />
      <${Room} />
      <${PhotoField} sums=${bowl.photos} onChange=${(/** @type {string[]} */ photos) => set({ photos })} />
      <${NumberField} label=${W.length} unit="cm" text=${bowl.length} step=${0.5} decimals=${1} ...${LENGTH}
        start=${last?.length_cm ?? 30} error=${errors.length} next
        onText=${(/** @type {string} */ length) => set({ length })} />
      ${asks && !errors.length && odd.length && html`<${Ask} meant=${odd.length.meant}
        says=${W.length_odd(`${number(cm)} cm`, last ? W.last(lengthSays(last), fullDate(last.on)) : "")}
        now=${`${number(cm)} cm`} unit=${(/** @type {number} */ one) => `${number(one)} cm`}
        onMeant=${(/** @type {number} */ one) => set({ length: String(one) })}
        onKeep=${() => keep({ ...kept, length: lengthKey })} />`}
      <${LengthIs} length_is=${session.length_is} label=${W.length_as}
        onChoose=${(/** @type {"standard"|"total"} */ length_is) => change((now) => now && { ...now, length_is })} />
      <${WeightField} fish=${fish} unit=${unit} grams=${grams} text=${bowl.weight} error=${errors.weight}
        onText=${(/** @type {string} */ weight) => set({ weight })} />
      ${asks && !errors.weight && odd.weight && fish.expect_weight_g && html`<${Ask} meant=${odd.weight.meant}
        says=${W.weight_odd(exactly(grams, unit), mass(fish.expect_weight_g[0]), mass(fish.expect_weight_g[1]))}
        now=${exactly(grams, unit)} unit=${(/** @type {number} */ one) => exactly(one, unit)}
        onMeant=${(/** @type {number} */ one) => set({ weight: massText(one, unit) })}
        onKeep=${() => keep({ ...kept, weight: bowl.weight })} />`}
      <${Parts} bowl=${bowl} set=${set} />
      <${TextField} label=${W.note} text=${bowl.note} lines=${2} maxlength=${2000}
        onText=${(/** @type {string} */ note) => set({ note })} />
      ${errors.all && html`<p class="form-error" role="alert" tabindex="-1" data-wrong>${errors.all}</p>`}
      <div class="pair"><button type="submit" class="wide-button">${W.save}</button>
        <button type="button" class="plain-button" onClick=${leave}>${W.back}</button></div>
    </form>
    <${WrongRow} /></main>`;
}

/** Why a weight cannot be kept, with what would be right. @param {number} grams @param {string} unit */
function massError(grams, unit) {
  if (Number.isNaN(grams)) return unit === "g" ? W.weight_wanted : W.weight_wanted_lb;
  const [low, high] = [unit === "g" ? WEIGHT.low : TENTH_OUNCE_G, WEIGHT.high];
  return grams < low || grams > high ? W.weight_between(mass(low, unit), mass(high, unit)) : "";
}

/** To the gram, where the keeper reads grams. @param {number} grams @param {string} unit */
function exactly(grams, unit) {
  return unit === "g" ? `${number(grams)} g` : mass(grams, unit);
}

/** Grams by number, pounds and ounces as one writes them: then it says what they come to.
 * @param {{fish: FishState, unit: string, grams: number, text: string, error: string,
 *   onText: (text: string) => void}} props */
function WeightField({ fish, unit, grams, text, error, onText }) {
  const start = fish.weight_g ? Math.round(fish.weight_g.middle / 10) * 10 : 1000;
  if (unit === "g") return html`<${NumberField} label=${W.weight} unit="g" text=${text} step=${10} decimals=${0}
    ...${WEIGHT} start=${start} error=${error} hint=${W.weight_hint} onText=${onText} />`;
  return html`<${TextField} label=${W.weight} unit=${unit} text=${text} error=${error} maxlength=${20}
    hint=${grams > 0 ? `${number(Math.round(grams))} g` : W.weight_hint_lb} onText=${onText} />`;
}

/** What goes into the log. @param {FishState} fish @param {Session} session @param {InBowl} bowl */
function measured(fish, { id, water_c, length_is }, { length, weight, note, photos, checked, found, since_ms }) {
  const bowl_s = Math.max(0, Math.round((Date.now() - since_ms) / 1000));
  const marks = checked.filter((part) => found[part]?.trim()).map((where) => ({ where, text: found[where].trim() }));
  return {
    fish: fish.id, session: id,
    ...length ? { length_cm: parsed(length), length_is } : {},
    ...weight ? { weight_g: Math.round(parsedMass(weight) * 10) / 10 } : {},
    ...checked.length ? { checked } : {}, ...marks.length ? { found: marks } : {},
    ...water_c === null ? {} : { water_c }, ...bowl_s < LOST_S ? { bowl_s } : {},
    ...note.trim() ? { text: note.trim() } : {}, ...photos.length ? { photos } : {},
  };
}

/** @param {{since_ms: number, onAgain: () => void}} props */
function Clock({ since_ms, onAgain }) {
  const [, tick] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => tick((n) => n + 1), 1000);
    return () => clearInterval(timer);
  }, []);
  const s = Math.max(0, Math.floor((Date.now() - since_ms) / 1000));
  const shown = `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
  return html`<div class="bowl-clock"><p><span class="quiet">${W.clock}</span>
      <b role="timer" aria-label=${W.clock}>${shown}</b></p>
    <button type="button" class="text-button" onClick=${onAgain}>${W.clock_again}</button>
    ${s >= LONG_S && html`<p class="caution" role="alert">${s >= LOST_S ? W.clock_lost : W.clock_long}</p>`}</div>`;
}

/** Said before a photo is taken: what is measured always fits, a photo may not. Where a browser tells a site no truth
 * about its room, it is said of the first photo that does not fit (photos.js). */
function Room() {
  const [left, find] = useState(Infinity);
  useEffect(() => {
    navigator.storage?.estimate?.().then(({ quota, usage }) => {
      if (quota !== undefined && usage !== undefined) find(quota - usage);
    }).catch(() => {});
  }, []);
  if (left >= LITTLE_ROOM) return null;
  return html`<p class="caution" role="alert">${W.storage(`${number(Math.max(0, left) / 1_000_000, 1)} MB`)}</p>`;
}

/** @param {{says: string, now: string, meant: number[], unit: (one: number) => string, onMeant: (one: number) => void,
 *   onKeep: () => void}} props */
function Ask({ says, now, meant, unit, onMeant, onKeep }) {
  return html`<div class="doubt"><p role="alert" tabindex="-1" data-wrong>${says}</p><p class="picks">
    ${meant.map((one) => html`<button key=${one} type="button" class="pick"
      onClick=${() => onMeant(one)}>${W.it_is(unit(one))}</button>`)}
    <button type="button" class="pick" onClick=${onKeep}>${W.keep(now)}</button></p></div>`;
}

/** @param {{bowl: InBowl, set: (more: Partial<InBowl>) => void}} props */
function Parts({ bowl, set }) {
  const names = /** @type {Record<string, string>} */ (W.parts);
  const flip = (/** @type {string} */ part) => set({ checked: Object.keys(names)
    .filter((one) => (one === part) !== bowl.checked.includes(one)) });
  return html`<div class="many" role="group" aria-label=${W.checked}><p>${W.checked}</p>
    <p class="picks">${Object.entries(names).map(([part, said]) => html`<button key=${part} type="button" class="pick"
      aria-pressed=${bowl.checked.includes(part) ? "true" : "false"} onClick=${() => flip(part)}>${said}</button>`)}</p>
    ${bowl.checked.map((part) => html`<${TextField} key=${part} label=${W.found(names[part])} hint=${W.found_hint}
      text=${bowl.found[part] ?? ""}
      onText=${(/** @type {string} */ text) => set({ found: { ...bowl.found, [part]: text } })} />`)}</div>`;
}
