// A bowling session: begun with the water's temperature, then fish after fish; made for wet hands and no signal.
import { html, useState } from "../../ui.js";
import { standingOf } from "../../domain/fold.js";
import { parsed } from "../../formats.js";
import { bowlWords, fishPageWords } from "../../words/fish-words.js";
import { useAwake } from "../../parts/awake.js";
import { NumberField, PondPick, rangeError } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { say, useStore } from "../../store.js";
import { shownQuantity, shownValue, toStored } from "../../units.js";
import { fullDate } from "../past/past-understood.js";
import { BowlFish } from "./bowling-fish.js";
import { inBowl, newSession, useSession } from "./bowling-draft.js";
import { LengthIs, measuredSays, WrongRow } from "./bowling-parts.js";
import { aboutFish, lastLength, lengthSays } from "./fish-says.js";

/** @typedef {import("./fish.js").FishProps} FishProps */
/** @typedef {import("./bowling-draft.js").Session} Session */
/** @typedef {import("../../domain/types.js").Entry} Entry */
/** @typedef {import("../../domain/fish-types.js").FishState} FishState */

const W = bowlWords;

/** @param {FishProps} props */
export function Bowling({ plan, pond, fish: all }) {
  const { seen } = useStore();
  const [session, change] = useSession(pond.id);
  useAwake(!!session);
  const fish = all.filter((one) => one.here > 0);
  if (session === undefined) return html`<main class="page"></main>`;
  if (!session) return html`<${Start} plan=${plan} pond=${pond} fish=${fish} onBegin=${(/** @type {Session} */ made) =>
    change(() => made)} />`;
  const done = standingOf(seen).map((one) => one.entry)
    .filter((entry) => entry.kind === "fish_measure" && entry.session === session.id);
  const held = fish.find((one) => one.id === session.bowl?.fish);
  if (held && session.bowl) return html`<${BowlFish} key=${held.id} pond=${pond}
    fish=${held} session=${session} bowl=${session.bowl} change=${change}
    before=${done.filter((entry) => entry.fish === held.id)} />`;
  const shown = shownQuantity(plan, pond.id, "temperature_c");
  const water = session.water_c === null || !shown ? "" : W.in_water(shownValue(shown, session.water_c));
  const row = (/** @type {FishState} */ one) => html`<${Row} key=${one.id} fish=${one}
    done=${done.filter((entry) => entry.fish === one.id)}
    onPick=${() => change((now) => now && { ...now, bowl: inBowl(one.id) })} />`;
  const isDone = (/** @type {FishState} */ one) => done.some((entry) => entry.fish === one.id);
  const [left, over] = [fish.filter((one) => !isDone(one)), fish.filter(isDone)];
  const end = () => {
    change(() => null);
    say(W.ended);
  };
  return html`<main class="page fish bowling">
    <header class="page-head"><div><h1>${W.title}</h1>
      <p class="quiet">${[W.done_of(over.length, fish.length), water].filter(Boolean).join(" · ")}</p></div>
      <a class="round-button" href="/fish?add">${fishPageWords.add}</a></header>
    ${left.length > 0 && html`<section class="part" aria-label=${W.to_do}><h2>${W.to_do}</h2>
      ${left.map(row)}</section>`}
    ${over.length > 0 && html`<section class="part" aria-label=${W.done}><h2>${W.done}</h2>${over.map(row)}</section>`}
    <${WrongRow} />
    <p class="centre"><button type="button" class="plain-button" onClick=${end}>${W.end}</button></p>
  </main>`;
}

/** @param {{fish: FishState, done: Entry[], onPick: () => void}} props */
function Row({ fish, done, onPick }) {
  const last = lastLength(fish);
  const newest = done[done.length - 1];
  const says = newest ? (fish.count > 1 ? W.group_done(done.length) : measuredSays(newest))
    : last ? W.last(lengthSays(last), fullDate(last.on)) : W.first;
  return html`<button type="button" class="choice bowl-row" onClick=${onPick}>
    ${newest && html`<${Icon} name="done" />`}<span>${fish.name}
      <small>${[newest ? W.done : "", says, aboutFish(fish)].filter(Boolean).join(" · ")}</small></span>
    <${Icon} name="on" /></button>`;
}

/** @param {{plan: import("../../domain/types.js").Plan, pond: import("../../domain/types.js").Pond, fish: FishState[],
 *   onBegin: (made: Session) => void}} props */
function Start({ plan, pond, fish, onBegin }) {
  const known = shownQuantity(plan, pond.id, "temperature_c");
  const last = fish.map(lastLength).filter((one) => one !== undefined).sort((a, b) => (a.on < b.on ? 1 : -1))[0];
  const [text, type] = useState("");
  const [length_is, choose] = useState(/** @type {"standard"|"total"} */ (last?.length_is ?? "total"));
  const [wrong, fail] = useState("");
  const begin = (/** @type {Event} */ event) => {
    event.preventDefault();
    const error = known && text.trim() ? rangeError(text, known) : "";
    fail(error);
    if (!error) onBegin(newSession(known && text.trim() ? toStored(known, parsed(text)) : null, length_is));
  };
  return html`<main class="page fish bowling">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.start_hint}</p></div></header>
    <div class="inset"><${PondPick} /></div>
    <form class="form" onSubmit=${begin} novalidate>
      <p class="caution">${W.caution}</p>
      ${known && html`<${NumberField} label=${W.water} unit=${known.unit} text=${text} onText=${type}
        step=${known.step} low=${known.low} high=${known.high} decimals=${known.decimals} start=${known.usual[0]}
        error=${wrong} />`}
      <${LengthIs} length_is=${length_is} onChoose=${choose} label=${W.length_as} />
      ${fish.length === 0 && html`<p class="quiet">${W.nobody}</p>`}
      <div class="pair"><button type="submit" class="wide-button" disabled=${fish.length === 0}>${W.begin}</button>
        <a class="plain-button" href="/fish">${fishPageWords.back}</a></div>
    </form></main>`;
}
