// Notifications on this device: a section of the page about how the list reaches somebody.
import { html, useEffect, useState } from "../../ui.js";
import { when } from "../../formats.js";
import { ask } from "../../offline/server.js";
import { pushWords } from "../../words/push-words.js";
import { zoneOf } from "../../record.js";
import { say, useNow, useStore } from "../../store.js";
import { canWorkOffline } from "../../updates.js";
import { errorSentence } from "../../words.js";

/** @typedef {{id: string, device_label: string, this: boolean, wants_list: boolean, wants_alarms: boolean,
 *   made_at: string}} Subscription */
/** @typedef {{wants_list: boolean, wants_alarms: boolean}} Wants */

const W = pushWords;
const PATH = "/api/reach/push";
const isList = Array.isArray;

/** Why this browser cannot, in words; "" when it can. */
function obstacle() {
  if (!canWorkOffline) return W.insecure;
  if (!("PushManager" in globalThis) || !("Notification" in globalThis)) {
    // Only Apple's phones know whether they stand on the home screen, and there it takes just that.
    return "standalone" in navigator && !navigator.standalone ? W.home_screen : W.cannot;
  }
  return Notification.permission === "denied" ? W.blocked : "";
}

export function ReachPush() {
  const { sync } = useStore();
  const [list, show] = useState(/** @type {Subscription[]|null} */ (null));
  const [own, keep] = useState(/** @type {PushSubscription|null} */ (null));
  const [busy, work] = useState(false);
  const [error, fail] = useState("");
  const taken = (/** @type {import("../../offline/server.js").Answer} */ answer) => {
    fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
    if (answer.ok) show(answer.data);
    return answer.ok;
  };
  const load = async () => {
    const answer = await ask("GET", PATH, undefined, isList);
    if (!taken(answer) || !answer.ok || obstacle()) return undefined;
    const mine = answer.data.find((/** @type {Subscription} */ one) => one.this);
    if (!mine) return keep(null);
    const kept = await freshSubscription();
    if (!kept) return undefined;
    keep(kept);
    return taken(await send(kept, mine));
  };
  useEffect(() => void load(), [sync === "idle"]);
  const during = (/** @type {() => Promise<void>} */ act) => async () => {
    work(true);
    await act();
    work(false);
  };
  const switchOn = async () => {
    const made = await subscribe().catch(() => W.failed);
    if (typeof made === "string") return fail(made);
    if (!taken(await send(made, { wants_list: true, wants_alarms: true }))) return undefined;
    keep(made);
    return say(W.on);
  };
  const switchOff = async () => {
    const answer = await ask("DELETE", PATH, undefined, (data) => data === null);
    if (!answer.ok && answer.problem?.code !== "not_found") return void taken(answer);
    await own?.unsubscribe().catch(() => false);
    keep(null);
    say(W.off);
    return void load();
  };
  const change = async (/** @type {Subscription} */ mine, /** @type {Partial<Wants>} */ wants) => {
    if (own && taken(await send(own, { ...mine, ...wants }))) say(W.kept);
  };
  const mine = own ? list?.find((one) => one.this) : undefined;
  const others = list?.filter((one) => !one.this) ?? [];
  const why_not = obstacle();
  return html`<section class="card-section reach-push"><h2>${W.title}</h2><p>${W.hint}</p>
    ${why_not && html`<p class="notice">${why_not}</p>`}
    ${error && html`<p class="form-error" role="alert">${error}</p>`}
    ${!why_not && mine && html`<${Switched} mine=${mine} onChange=${change} />
      <button type="button" class="plain-button" disabled=${busy}
        onClick=${during(switchOff)}>${W.switch_off}</button>`}
    ${!why_not && list && !mine && html`<button type="button" class="wide-button" disabled=${busy}
      onClick=${during(switchOn)}>${busy ? W.one_moment : W.switch_on}</button>`}
    ${others.length > 0 && html`<${Others} others=${others} onGone=${load} />`}
  </section>`;
}

/** @param {{mine: Subscription, onChange: (mine: Subscription, wants: Partial<Wants>) => void}} props */
function Switched({ mine, onChange }) {
  const box = (/** @type {keyof Wants} */ name) => html`<label class="choice"><input type="checkbox"
    checked=${mine[name]} onChange=${(event) => onChange(mine, { [name]: event.target.checked })} />
    <span>${W[name]}<small>${W[`${name}_hint`]}</small></span></label>`;
  return html`<p>${W.on}</p>
    <fieldset><legend>${W.wants}</legend>${box("wants_list")}${box("wants_alarms")}</fieldset>`;
}

/** @param {{others: Subscription[], onGone: () => Promise<void>}} props */
function Others({ others, onGone }) {
  const now_ms = useNow();
  const off = async (/** @type {Subscription} */ one) => {
    const answer = await ask("DELETE", `${PATH}/${one.id}`, undefined, (data) => data === null);
    say(answer.ok ? W.off_for(one.device_label) : errorSentence(answer));
    await onGone();
  };
  return html`<h3>${W.others}</h3>
    <ul class="entry-list">${others.map((one) => html`<li class="entry-line" key=${one.id}>
      <div class="entry-what"><p>${one.device_label}</p>
        <p class="quiet">${W.since(when(one.made_at, zoneOf(), now_ms))}</p></div>
      <button type="button" class="text-button" aria-label=${`${W.off_there}: ${one.device_label}`}
        onClick=${() => off(one)}>${W.off_there}</button></li>`)}</ul>`;
}

/** What this browser subscribed with before, unless home has another key by now: then it would hear nothing.
 * @returns {Promise<PushSubscription|null>} */
async function freshSubscription() {
  const worker = await navigator.serviceWorker.getRegistration();
  const kept = await worker?.pushManager.getSubscription().catch(() => null);
  const key = kept ? await homeKey() : "";
  return kept && typeof key !== "string" && isOf(kept, key) ? kept : null;
}

/** What to subscribe with, or a sentence why it did not come. @returns {Promise<Uint8Array<ArrayBuffer>|string>} */
async function homeKey() {
  const answer = await ask("GET", "/api/reach/push-key", undefined, (data) => typeof data?.key === "string");
  if (!answer.ok) return answer.why === "no_signal" ? W.offline : errorSentence(answer);
  const text = atob(answer.data.key.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(text, (one) => one.charCodeAt(0));
}

/** @param {PushSubscription} subscription @param {Uint8Array} key */
function isOf({ options }, key) {
  const bytes = new Uint8Array(options?.applicationServerKey ?? new ArrayBuffer(0));
  return bytes.length === key.length && bytes.every((byte, place) => byte === key[place]);
}

/** Ask the person, then the browser's maker; a sentence when one of them would not.
 * @returns {Promise<PushSubscription|string>} */
async function subscribe() {
  if (await Notification.requestPermission() !== "granted") return obstacle() || W.not_allowed;
  const key = await homeKey();
  if (typeof key === "string") return key;
  const worker = await navigator.serviceWorker.ready;
  const before = await worker.pushManager.getSubscription();
  if (before && !isOf(before, key)) await before.unsubscribe();
  return worker.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key });
}

/** @param {PushSubscription} subscription @param {Wants} wants */
function send(subscription, { wants_list, wants_alarms }) {
  return ask("POST", PATH, { ...subscription.toJSON(), wants_list, wants_alarms }, isList);
}
