// The links of a hand-over: made here and shown once, who uses each, and ending one. All of it is home's to say, so it
// needs signal; the rest of a hand-over does not.
import { html, useEffect, useId, useState } from "../../ui.js";
import { when } from "../../formats.js";
import { handOverWords } from "../../words/hand-over-words.js";
import { flush } from "../../live.js";
import { ask } from "../../offline/server.js";
import { say, useStore } from "../../store.js";
import { errorSentence } from "../../words.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {import("../../domain/hand-overs.js").Helper} Helper */
/** @typedef {{id: string, label: string, bound_at: string, ended_at: string|null, last_seen_at: string|null}} Device */
/** @typedef {{id: string, helper: string, made_at: string, revoked_at: string|null, devices: Device[],
 *   moves_left: number, may_move: boolean}} Link */
/** @typedef {{link: {id: string, helper: string}, url: string, works_offline: boolean, secret: string,
 *   code: {size: number, path: string}}} Made */

const W = handOverWords.links;

/** What was made since this page was opened, by hand-over and helper: it is nowhere else, and is gone with the page.
 * @type {Map<string, Made>} */
const made = new Map();

/** @param {HandOver} of @param {Helper|undefined} helper @returns {Made|undefined} */
export function madeFor(of, helper) {
  return helper && made.get(`${of.id}/${helper.id}`);
}

/** @param {HandOver} of @param {Helper} helper @param {string} link its id */
function forget(of, helper, link) {
  if (madeFor(of, helper)?.link.id === link) made.delete(`${of.id}/${helper.id}`);
}

/** @param {{of: HandOver, plan: Plan, now_ms: number}} props */
export function HandOverLinks({ of, plan, now_ms }) {
  const { sync, waiting, seen } = useStore();
  const [list, show] = useState(/** @type {Link[]|null} */ (null));
  const [error, fail] = useState("");
  const path = `/api/hand-overs/${of.id}/links`;
  const unsent = [...waiting].some((id) => seen.get(id)?.entry.target === `hand-over/${of.id}`);
  const said = (/** @type {import("../../offline/server.js").Answer} */ answer) =>
    fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
  const load = async () => {
    const answer = await ask("GET", path, undefined, Array.isArray);
    if (answer.ok) show(answer.data);
    said(answer);
  };
  useEffect(() => {
    if (!unsent) void load();
  }, [sync === "idle", unsent, of.id]);
  /** @param {Helper} helper */
  const make = async (helper) => {
    await flush();
    const answer = await ask("POST", path, { helper: helper.id }, (data) => typeof data?.url === "string");
    said(answer);
    if (!answer.ok) return;
    made.set(`${of.id}/${helper.id}`, answer.data);
    say(W.once(helper.name));
    await load();
  };
  /** @param {Link} link @param {Helper} helper */
  const revoke = async (link, helper) => {
    const answer = await ask("DELETE", `${path}/${link.id}`, undefined, (data) => data === null);
    said(answer);
    if (!answer.ok) return;
    forget(of, helper, link.id);
    say(W.revoked_said(helper.name));
    await load();
  };
  /** @param {Link} link @param {Helper} helper */
  const letMove = async (link, helper) => {
    const answer = await ask("POST", `${path}/${link.id}/allow-move`, undefined, () => true);
    said(answer);
    if (answer.ok) say(W.moved(helper.name));
    if (answer.ok) await load();
  };
  const zone = plan.ponds[0].zone;
  return html`<section class="card-section links" aria-labelledby="links"><h2 id="links">${handOverWords.page.link}</h2>
    <p class="quiet">${W.hint}</p>
    ${unsent && html`<p role="status">${W.not_home}</p>`}
    ${!unsent && error && html`<p class="form-error" role="alert">${error}</p>`}
    ${of.helpers.length === 0 && html`<p>${handOverWords.checks.helper}</p>`}
    ${of.helpers.map((helper) => {
      const link = list?.find((one) => one.helper === helper.id && !one.revoked_at);
      const once = madeFor(of, helper);
      return html`<div class="helper-link" role="group" aria-label=${helper.name} key=${helper.id}>
        <h3>${helper.name}</h3>
        ${list && html`<p>${link ? linkWords(link, zone, now_ms) : W.none}</p>`}
        ${link?.devices.map((one) => html`<p class="quiet" key=${one.id}>${deviceWords(one, zone, now_ms)}</p>`)}
        ${once && html`<${Once} made=${once} of=${of} helper=${helper} />`}
        ${link && html`<p class="quiet">${W.again_hint}</p>`}
        <div class="pair"><button type="button" class="plain-button" disabled=${unsent}
            onClick=${() => make(helper)}>${link ? W.make_again : W.make}</button>
          ${link && link.devices.length > 0 && !link.may_move && html`<button type="button" class="plain-button"
            onClick=${() => letMove(link, helper)}>${W.move}</button>`}
          ${link && html`<button type="button" class="text-button"
            aria-label=${`${W.revoke}: ${helper.name}`} onClick=${() => revoke(link, helper)}>${W.revoke}</button>`}
        </div>
        ${link?.may_move && link.devices.length > 0 && html`<p class="quiet">${W.moves}</p>`}</div>`;
    })}</section>`;
}

/** @param {Link} link @param {string} zone @param {number} now_ms */
function linkWords({ made_at, devices }, zone, now_ms) {
  return [W.made(when(made_at, zone, now_ms)), devices.length === 0 && W.unused].filter(Boolean).join(" · ");
}

/** @param {Device} device @param {string} zone @param {number} now_ms */
function deviceWords({ label, bound_at, ended_at, last_seen_at }, zone, now_ms) {
  if (ended_at) return W.ended(label);
  return [W.used(label, when(bound_at, zone, now_ms)), last_seen_at && W.seen(when(last_seen_at, zone, now_ms))]
    .filter(Boolean).join(" · ");
}

/** The link, for the only time. @param {{made: Made, of: HandOver, helper: Helper}} props */
function Once({ made: { url, code, works_offline }, of, helper }) {
  const id = useId();
  const [copied, note] = useState(false);
  const copy = async () => {
    // Without a secure address the browser offers no way to copy: what is marked can be copied by hand.
    await navigator.clipboard?.writeText(url).then(() => note(true), () => mark(id));
    if (!navigator.clipboard) mark(id);
  };
  const share = () => navigator.share({ url, text: W.share_text(of.name) }).catch(() => {});
  return html`<div class="once" aria-label=${W.once(helper.name)} role="group">
    <p><strong>${W.once(helper.name)}.</strong> ${W.once_hint}</p>
    <${Code} code=${code} name=${W.code(helper.name)} />
    <code id=${id} class="secret">${url}</code>
    <p>${works_offline ? W.works_offline : W.only_reach}</p>
    <div class="pair">${"share" in navigator && html`<button type="button" class="plain-button"
        onClick=${share}>${W.share}</button>`}
      <button type="button" class="plain-button" onClick=${copy}>${copied ? W.copied : W.copy}</button>
      <a class="wide-button" href=${`/hand-overs?sheet=${of.id}&helper=${helper.id}`}>${W.print}</a></div></div>`;
}

/** A code to scan, drawn from home's path. @param {{code: {size: number, path: string}, name: string}} props */
export function Code({ code, name }) {
  return html`<svg class="scan-code" role="img" aria-label=${name} viewBox=${`0 0 ${code.size} ${code.size}`}
    shape-rendering="crispEdges"><path d=${code.path} /></svg>`;
}

/** @param {string} id of what is to be marked */
function mark(id) {
  const here = document.getElementById(id);
  if (here) getSelection()?.selectAllChildren(here);
}
