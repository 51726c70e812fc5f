// The jobs in a calendar: a section of the page about how the list reaches somebody.
import { html, useEffect, useId, useState } from "../../ui.js";
import { feedWords } from "../../words/feed-words.js";
import { when } from "../../formats.js";
import { ask } from "../../offline/server.js";
import { zoneOf } from "../../record.js";
import { say, useNow, useStore } from "../../store.js";
import { errorSentence } from "../../words.js";

/** @typedef {{rings: "each"|"serious"|"none", made_at: string, last_read_at: string|null}} Feed */
/** @typedef {{url: string, from_anywhere: boolean, feed: Feed}} Made */

const W = feedWords;
const PATH = "/api/reach/feed";
const RINGS = /** @type {const} */ (["serious", "each", "none"]);
const RING_WORDS = { serious: W.serious, each: W.each, none: W.nothing };
const isFeed = (/** @type {any} */ data) => data !== null && "feed" in data;

export function ReachFeed() {
  const { sync } = useStore();
  const [feed, show] = useState(/** @type {Feed|null|undefined} */ (undefined));
  const [made, give] = useState(/** @type {Made|null} */ (null));
  const [error, fail] = useState("");
  const call = async (/** @type {"GET"|"POST"|"PUT"|"DELETE"} */ method, /** @type {any} */ body = undefined) => {
    const answer = await ask(method, PATH, body, method === "DELETE" ? (data) => data === null : isFeed);
    fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
    if (answer.ok) show(answer.data?.feed ?? null);
    return answer.ok ? answer.data ?? {} : null;
  };
  useEffect(() => void call("GET"), [sync === "idle"]);
  const make = async (/** @type {string} */ rings) => {
    const answer = await call("POST", { rings });
    if (!answer) return;
    give(answer);
    say(W.made);
  };
  const end = async () => {
    if (!await call("DELETE")) return;
    give(null);
    say(W.ended);
  };
  const ring = async (/** @type {string} */ rings) => {
    if (await call("PUT", { rings })) say(W.kept);
  };
  return html`${made && html`<${Once} key=${made.url} made=${made} />`}
  <section class="card-section reach-feed"><h2>${W.title}</h2><p>${W.hint}</p>
    ${error && html`<p class="form-error" role="alert">${error}</p>`}
    ${feed && html`<${Kept} feed=${feed} onRing=${ring} />
      <p class="quiet">${W.anew_hint}</p>
      <div class="pair"><button type="button" class="plain-button" onClick=${() => make(feed.rings)}>${W.anew}</button>
        <button type="button" class="plain-button" onClick=${end}>${W.end}</button></div>`}
    ${feed === null && html`<p>${W.none}</p>
      <button type="button" class="wide-button" onClick=${() => make("serious")}>${W.make}</button>`}
  </section>`;
}

/** @param {{feed: Feed, onRing: (rings: string) => void}} props */
function Kept({ feed, onRing }) {
  const name = useId();
  const now_ms = useNow();
  const read = feed.last_read_at ? W.read(when(feed.last_read_at, zoneOf(), now_ms)) : W.unread;
  return html`<p>${W.since(when(feed.made_at, zoneOf(), now_ms))} ${read}</p>
    <fieldset><legend>${W.rings}</legend>${RINGS.map((one) => html`<label class="choice" key=${one}>
      <input type="radio" name=${name} checked=${feed.rings === one} onChange=${() => onRing(one)} />
      <span>${RING_WORDS[one]}</span></label>`)}</fieldset>`;
}

/** The address, for the only time. @param {{made: Made}} props */
function Once({ made }) {
  const id = useId();
  const [copied, note] = useState(false);
  useEffect(() => document.getElementById(id)?.closest("section")?.scrollIntoView({ block: "nearest" }), []);
  const copy = async () => {
    // Without a secure address the browser offers no way to copy: what is marked can be copied by hand.
    const done = await navigator.clipboard?.writeText(made.url).then(() => true, () => false);
    const place = document.getElementById(id);
    if (done) note(true);
    else if (place) getSelection()?.selectAllChildren(place);
  };
  return html`<section class="card-section once" aria-label=${W.once}><h2>${W.once}</h2><p>${W.once_hint}</p>
    ${!made.from_anywhere && html`<p>${W.here_only}</p>`}
    <code id=${id} class="secret">${made.url}</code>
    <a class="wide-button" href=${made.url.replace(/^https?:/, "webcal:")}>${W.open}</a>
    <p><button type="button" class="plain-button" onClick=${copy}>${copied ? W.copied : W.copy}</button></p></section>`;
}
