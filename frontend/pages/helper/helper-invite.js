// The link a helper was given, opened: who asks, for what, until when; one button binds this phone. Until it is tapped
// nothing is bound, so a previewer that opens the link does no harm. The secret stays in the address until then, for
// whoever has to open the page in another browser.
import { html, useEffect, useState } from "../../ui.js";
import { daysBetween } from "../../domain/civil.js";
import { shortDate } from "../../formats.js";
import { bind, isBoundBy, lookAt, secretIn } from "../../helper.js";
import { helperWords, namesOf } from "../../words/helper-words.js";
import { TextField } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { go } from "../../router.js";
import { get, say, useStore } from "../../store.js";
import { errorSentence } from "../../words.js";

/** @typedef {import("../../helper.js").Looked} Looked */

const W = helperWords.invite;

export function HelperInvite() {
  const [secret, found] = useState(() => secretIn(location.hash));
  useEffect(() => {
    const again = () => found(secretIn(location.hash));
    addEventListener("hashchange", again);
    // Added to a home screen from here, this very address is what opens there, not the app's usual first page.
    document.querySelector('link[rel="manifest"]')?.remove();
    return () => removeEventListener("hashchange", again);
  }, []);
  return html`<main class="page start helper">
    <p class="brand"><${Icon} name="drop" />evenwater</p>
    ${secret ? html`<${Link} key=${secret} secret=${secret} />` : html`<${Paste} onSecret=${found} />`}
  </main>`;
}

/** @param {{secret: string}} props */
function Link({ secret }) {
  const [looked, show] = useState(/** @type {Looked|null} */ (null));
  const [why, fail] = useState("");
  const look = async () => {
    fail("");
    const mine = await isBoundBy(secret);
    // The link that bound this phone opens its round, with signal or without; unless home no longer knew this phone.
    if (mine && !get().helps?.shut) return enterRound();
    const answer = await lookAt(secret);
    if (!answer.ok) return fail(answer.problem?.code ?? answer.why);
    if (answer.data.bound_here && get().person?.hand_over) return enterRound();
    // Home takes back the browser it knows; only on the tap does it hear which one this is.
    return show(mine && answer.data.state === "bound_elsewhere" ? { ...answer.data, state: "open" } : answer.data);
  };
  useEffect(() => void look(), []);
  if (why) return html`<${Failed} why=${why} again=${look} />`;
  if (!looked) return html`<p class="quiet" role="status">${W.looking}</p>`;
  const open = looked.state === "open" || looked.state === "not_yet";
  if (open) return html`<${Asked} secret=${secret} looked=${looked} onEnded=${show} />`;
  return html`<${NotOpen} looked=${looked} again=${look} />`;
}

/** What a link is whose binding was refused for that. @type {Record<string, Looked["state"]>} */
const ENDED = { bound_elsewhere: "bound_elsewhere", revoked: "revoked", over: "over" };

function enterRound() {
  history.replaceState(null, "", "/round");
  go("/round", true);
}

/** @param {{secret: string, looked: Looked, onEnded: (looked: Looked) => void}} props */
function Asked({ secret, looked, onEnded }) {
  const { person } = useStore();
  const [busy, work] = useState(false);
  const [error, fail] = useState("");
  const { helper_name, keeper_names, begins_on, ends_on } = looked.hand_over;
  const use = async () => {
    work(true);
    const answer = await bind(secret, looked);
    work(false);
    if (answer.ok) return enterRound();
    const state = ENDED[answer.problem?.code ?? ""];
    return state ? onEnded({ ...looked, state }) : fail(errorSentence(answer));
  };
  return html`<h1>${keeper_names.length > 0 ? W.asked(namesOf(keeper_names)) : W.asked_plainly}</h1>
    <p>${W.hello(helper_name)} ${W.what}</p>
    ${begins_on && ends_on && html`<dl class="facts">
      <div><dt>${W.from}</dt><dd>${shortDate(begins_on)}</dd></div>
      <div><dt>${W.until}</dt><dd>${shortDate(ends_on)} · ${W.days(daysBetween(begins_on, ends_on) + 1)}</dd></div>
    </dl>`}
    <p>${W.need_nothing} ${looked.works_offline ? W.works_offline : W.needs_signal}</p>
    <${Browser} />
    ${person && !person.hand_over ? html`<p class="notice bare">${W.keeper(person.name, helper_name)}</p>
        <p class="quiet">${W.keeper_out} <a href="/device">${helperWords.phone}</a></p>`
      : html`<button type="button" class="wide-button" disabled=${busy} onClick=${use}>${W.use}</button>
        ${error && html`<p class="form-error" role="alert">${error}</p>`}
        <p class="quiet">${W.only_this}</p>`}`;
}

/** @param {{looked: Looked, again: () => void}} props */
function NotOpen({ looked, again }) {
  const { keeper_names, ends_on } = looked.hand_over;
  const keepers = keeper_names.length > 0 ? namesOf(keeper_names) : W.keepers;
  const says = {
    bound_elsewhere: [W.elsewhere, W.elsewhere_what, W.elsewhere_ask(keepers)],
    over: [helperWords.over, ends_on ? helperWords.over_what(keepers, shortDate(ends_on)) : helperWords.over_plainly],
    revoked: [W.revoked, W.revoked_what(keepers)],
  };
  const [title, ...lines] = /** @type {Record<string, string[]>} */ (says)[looked.state] ?? says.revoked;
  return html`<h1>${title}</h1>${lines.map((line) => html`<p key=${line}>${line}</p>`)}
    ${looked.state === "bound_elsewhere"
      && html`<button type="button" class="wide-button" onClick=${again}>${W.again}</button>`}`;
}

/** @param {{why: string, again: () => void}} props */
function Failed({ why, again }) {
  const unknown = why === "no_such_link" || why === "refused";
  const text = why === "slow_down" ? W.slow_down : unknown ? W.unknown_what
    : why === "no_signal" ? W.no_signal_what : errorSentence({ why, problem: null });
  return html`<h1>${unknown ? W.unknown : why === "no_signal" ? W.no_signal : W.not_now}</h1><p role="alert">${text}</p>
    <button type="button" class="wide-button" onClick=${again}>${W.again}</button>`;
}

/** Pages inside another app have a storage of their own, and so has a home screen of Apple's. */
function Browser() {
  const [copied, tell] = useState(false);
  const agent = navigator.userAgent;
  const apple = /iPhone|iPad/.test(agent);
  const inside = /; wv\)|FBAN|FBAV|Instagram|Line\/|Snapchat|TikTok/.test(agent) || (apple && !/Safari\//.test(agent));
  const on_screen = /** @type {any} */ (navigator).standalone === true;
  const copy = async () => {
    const done = await navigator.clipboard.writeText(location.href).then(() => true, () => false);
    tell(done);
    if (done) say(W.copied);
  };
  if (inside && !on_screen) return html`<div class="notice bare"><p>${W.inside_app}</p><p>${W.inside_app_how}</p>
    ${navigator.clipboard && html`<button type="button" class="plain-button"
      onClick=${copy}>${copied ? W.copied : W.copy}</button>`}</div>`;
  return apple && !on_screen && html`<p class="quiet">${W.home_screen}</p>`;
}

/** @param {{onSecret: (secret: string) => void}} props */
function Paste({ onSecret }) {
  const [text, type] = useState("");
  const [error, fail] = useState("");
  const open = (/** @type {Event} */ event) => {
    event.preventDefault();
    const secret = secretIn(text);
    if (!secret) return fail(W.paste_wrong);
    history.replaceState(null, "", `/h#${secret}`);
    return onSecret(secret);
  };
  return html`<h1>${W.paste}</h1><p>${W.paste_what}</p>
    <form class="form" onSubmit=${open}>
      <${TextField} label=${W.paste_label} text=${text} onText=${type} error=${error} autocomplete="off"
        maxlength=${400} />
      <button type="submit" class="wide-button">${W.paste_go}</button>
    </form>`;
}
