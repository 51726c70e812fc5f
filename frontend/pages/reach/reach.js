// How the list reaches somebody: when, by e-mail, by notification, into a calendar; and what became of the last ones.
import { html, useEffect, useId, useState } from "../../ui.js";
import { when } from "../../formats.js";
import { ask } from "../../offline/server.js";
import { showFirstError, TextField } from "../../parts/fields.js";
import { useHalfTyped } from "../../router.js";
import { reachWords } from "../../words/reach-words.js";
import { zoneOf } from "../../record.js";
import { say, useNow, useStore } from "../../store.js";
import { errorSentence, words } from "../../words.js";
import { ReachFeed } from "./reach-feed.js";
import { ReachPush } from "./reach-push.js";

/** @typedef {{person: string, zone: string, list_at: string|null, quiet_from: string|null, quiet_to: string|null,
 *   email: string|null, email_list: boolean, email_alarms: boolean}} Reach */
/** @typedef {{subject: string, channel: "email"|"push", state: "waiting"|"sent"|"given_up", made_at: string,
 *   sent_at: string|null, next_try_at: string, trouble: string|null}} LastMessage */
/** @typedef {{reach: Reach, said: boolean, mail_set_up: boolean, messages: LastMessage[]}} Answered */
/** @typedef {{list_on: boolean, list_at: string, zone: string, email: string, email_list: boolean,
 *   email_alarms: boolean, quiet_on: boolean, quiet_from: string, quiet_to: string}} Filled */

const W = reachWords;
const PATH = "/api/reach";
const CLOCK = /^([01]\d|2[0-3]):[0-5]\d$/;
const USUAL_LIST_AT = "07:00";
const LOOK_AGAIN_MS = 2500;
const isOurs = (/** @type {any} */ data) => typeof data?.reach === "object" && Array.isArray(data.messages);

export function Reach() {
  const { sync } = useStore();
  const [answered, show] = useState(/** @type {Answered|null} */ (null));
  const [error, fail] = useState("");
  const call = async (/** @type {"GET"|"PUT"|"POST"} */ method, path = PATH, /** @type {any} */ body = undefined) => {
    const answer = await ask(method, path, body, isOurs);
    fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
    if (answer.ok) show(answer.data);
    return answer.ok;
  };
  useEffect(() => void call("GET"), [sync === "idle"]);
  const on_its_way = answered?.messages.some(({ state, trouble }) => state === "waiting" && !trouble);
  useEffect(() => {
    if (!on_its_way) return undefined;
    const timer = setTimeout(() => void call("GET"), LOOK_AGAIN_MS);
    return () => clearTimeout(timer);
  }, [answered, on_its_way]);
  const test = async () => {
    if (await call("POST", `${PATH}/test`)) say(W.test_sent);
  };
  return html`<main class="page reach">
    <header class="page-head"><div><h1>${words.titles.reach}</h1><p class="quiet">${W.hint}</p></div></header>
    ${error && html`<p class="notice" role="alert">${error}</p>`}
    ${answered && html`<${Said} key=${JSON.stringify(answered.reach)} answered=${answered}
      onSave=${(/** @type {any} */ reach) => call("PUT", PATH, reach)} />
    <section class="card-section"><h2>${W.last}</h2>
      <${Last} messages=${answered.messages} />
      <p class="quiet">${W.test_hint}</p>
      <button type="button" class="plain-button" onClick=${test}>${W.test}</button></section>`}
    <${ReachPush} />
    <${ReachFeed} />
  </main>`;
}

/** @param {Reach} reach @returns {Filled} */
function filled({ zone, list_at, email, email_list, email_alarms, quiet_from, quiet_to }) {
  return {
    list_on: list_at !== null, list_at: list_at ?? USUAL_LIST_AT, zone, email: email ?? "", email_list, email_alarms,
    quiet_on: quiet_from !== null, quiet_from: quiet_from ?? "22:00", quiet_to: quiet_to ?? "06:30",
  };
}

/** @param {Filled} now */
function given({ list_on, list_at, quiet_on, quiet_from, quiet_to, email, zone, email_list, email_alarms }) {
  return {
    zone, email: email.trim() || null, email_list, email_alarms, list_at: list_on ? list_at : null,
    quiet_from: quiet_on ? quiet_from : null, quiet_to: quiet_on ? quiet_to : null,
  };
}

/** @param {Filled} now @returns {Record<string, string>} */
function problems({ list_on, list_at, quiet_on, quiet_from, quiet_to, email }) {
  const address = email.trim();
  return {
    list_at: list_on && !CLOCK.test(list_at) ? W.list_at_wrong : "",
    quiet_from: quiet_on && !CLOCK.test(quiet_from) ? W.list_at_wrong : "",
    quiet_to: !quiet_on ? "" : !CLOCK.test(quiet_to) ? W.list_at_wrong : quiet_to === quiet_from ? W.quiet_same : "",
    email: address && !/^[^\s@,;<>]+@[^\s@,;<>]+$/.test(address) ? W.address_wrong : "",
  };
}

/** @param {{answered: Answered, onSave: (reach: any) => Promise<boolean>}} props */
function Said({ answered: { reach, said, mail_set_up }, onSave }) {
  const before = filled(reach);
  const [now, change] = useState(before);
  const [wrong, fail] = useState(/** @type {Record<string, string>} */ ({}));
  const set = (/** @type {keyof Filled} */ name) => (/** @type {any} */ value) => change({ ...now, [name]: value });
  const dirty = JSON.stringify(now) !== JSON.stringify(before);
  useHalfTyped(dirty);
  const save = async (event) => {
    event.preventDefault();
    const found = problems(now);
    fail(found);
    showFirstError(event.currentTarget);
    if (Object.values(found).some(Boolean)) return;
    if (await onSave(given(now))) say(W.saved);
  };
  const box = (/** @type {"list_on"|"quiet_on"|"email_list"|"email_alarms"} */ name, /** @type {string} */ hint = "") =>
    html`<label class="choice"><input type="checkbox" checked=${now[name]}
      onChange=${(event) => set(name)(event.target.checked)} />
      <span>${W[name]}${hint && html`<small>${hint}</small>`}</span></label>`;
  const time = (/** @type {"list_at"|"quiet_from"|"quiet_to"} */ name) => html`<${TextField} label=${W[name]}
    type="time" text=${now[name]} onText=${set(name)} error=${wrong[name]} />`;
  return html`<form onSubmit=${save} novalidate>
    <section class="card-section"><h2>${W.list}</h2>${box("list_on")}
      ${now.list_on && html`<div class="pair">${time("list_at")}
        <${ZonePick} zone=${now.zone} saved=${reach.zone} onZone=${set("zone")} /></div>`}</section>
    <section class="card-section"><h2>${W.email}</h2>
      ${!mail_set_up && html`<p class="notice">${W.no_mail}</p>`}
      <${TextField} label=${W.address} type="email" inputmode="email" autocomplete="email" maxlength=${254}
        hint=${W.address_hint} text=${now.email} onText=${set("email")} error=${wrong.email} />
      ${now.email.trim() && html`<fieldset><legend>${W.by_email}</legend>
        ${box("email_list", W.email_list_hint)}${box("email_alarms", W.email_alarms_hint)}</fieldset>`}</section>
    <section class="card-section"><h2>${W.quiet}</h2>${box("quiet_on")}
      ${now.quiet_on && html`<div class="pair">${time("quiet_from")}${time("quiet_to")}</div>`}
      <p class="quiet">${W.quiet_hint}</p></section>
    <p class="inset"><button type="submit" class="wide-button" disabled=${said && !dirty}>${W.save}</button></p>
  </form>`;
}

/** The zones somebody here may mean: as saved, as this device is set, as the pond is.
 * @param {{zone: string, saved: string, onZone: (zone: string) => void}} props */
function ZonePick({ zone, saved, onZone }) {
  const id = useId();
  const zones = [...new Set([saved, zoneOf(), Intl.DateTimeFormat().resolvedOptions().timeZone])].filter(Boolean);
  return html`<p class="pond-pick"><label for=${id}>${W.zone}</label>
    <select id=${id} value=${zone} onChange=${(event) => onZone(event.target.value)}>
      ${zones.map((one) => html`<option key=${one} value=${one}>${one.replaceAll("_", " ")}</option>`)}
    </select></p>`;
}

/** @param {{messages: LastMessage[]}} props */
function Last({ messages }) {
  const now_ms = useNow();
  const zone = zoneOf();
  const became = (/** @type {LastMessage} */ { state, sent_at, trouble, next_try_at }) => {
    if (state === "sent") return W.sent(when(sent_at ?? "", zone, now_ms));
    if (state === "given_up") return W.given_up(trouble ?? "");
    return trouble ? W.again(trouble, when(next_try_at, zone, now_ms)) : W.waiting;
  };
  return html`<ul class="entry-list">${messages.map((one) => html`<li class="entry-line"
    key=${one.made_at + one.subject}><div class="entry-what"><p>${one.subject}</p>
      <p class="quiet">${W.by[one.channel]}, ${became(one)}</p></div></li>`)}</ul>`;
}
