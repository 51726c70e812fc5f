// Keys of loggers: make one, see it once, revoke it. Each names one pond and what it may send.
import { html, useEffect, useId, useState } from "../../ui.js";
import { when } from "../../formats.js";
import { ask } from "../../offline/server.js";
import { showFirstError, TextField } from "../../parts/fields.js";
import { useHalfTyped } from "../../router.js";
import { say, useStore } from "../../store.js";
import { probeWords } from "../../words/probe-words.js";
import { errorSentence, words } from "../../words.js";
import { BACK } from "./warmth-forms.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {{id: string, pond: string, series: string[], label: string, created_at: string,
 *   last_used_at: string|null}} Key */
/** @typedef {{token: string, key: Key}} Made */

const W = probeWords;
const FEW = 5;

/** @param {{plan: Plan, pond: Pond, now_ms: number}} props */
export function ProbeKeys({ plan, pond, now_ms }) {
  const { sync } = useStore();
  const [list, show] = useState(/** @type {Key[]|null} */ (null));
  const [made, give] = useState(/** @type {Made|null} */ (null));
  const [error, fail] = useState("");
  const load = async () => {
    const answer = await ask("GET", "/api/probe-keys", undefined, Array.isArray);
    if (answer.ok) show(answer.data);
    fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
  };
  useEffect(() => void load(), [sync === "idle"]);
  const revoke = async (/** @type {Key} */ key) => {
    const answer = await ask("DELETE", `/api/probe-keys/${key.id}`, undefined, (data) => data === null);
    if (answer.ok) say(W.revoked(key.label));
    if (made?.key.id === key.id) give(null);
    await load();
  };
  const taken = (/** @type {Made} */ one) => {
    give(one);
    say(W.made(one.key.label));
    load();
  };
  return html`<main class="page probes">
    <header class="page-head"><div><h1>${W.title}</h1><p class="quiet">${W.hint}</p></div></header>
    ${error && html`<p class="notice" role="alert">${error}</p>`}
    ${made && html`<${Once} made=${made} />`}
    <${NewKey} plan=${plan} pond=${pond} onMade=${taken} />
    ${list && html`<section class="card-section"><h2>${W.keys}</h2>
      ${list.length === 0 && html`<p class="quiet">${W.none}</p>`}
      <ul class="entry-list">${list.map((one) => html`<li class="entry-line" key=${one.id}>
        <div class="entry-what"><p>${one.label}</p><p class="quiet">${linesOf(plan, one, pond.zone, now_ms)}</p></div>
        <button type="button" class="text-button" aria-label=${`${W.revoke}: ${one.label}`}
          onClick=${() => revoke(one)}>${W.revoke}</button></li>`)}</ul></section>`}
    <p class="centre"><a class="plain-button" href=${BACK}>${W.back}</a></p>
  </main>`;
}

/** @param {Plan} plan @param {Key} key @param {string} zone @param {number} now_ms */
function linesOf(plan, { pond, series, last_used_at }, zone, now_ms) {
  const of = plan.ponds.length > 1 ? plan.ponds.find((one) => one.id === pond)?.name ?? pond : "";
  const names = series.map((one) => W.series[one] ?? one).join(", ");
  return [of, names, last_used_at ? W.used(when(last_used_at, zone, now_ms)) : W.unused].filter(Boolean).join(" · ");
}

/** The key, for the only time. @param {{made: Made}} props */
function Once({ made }) {
  const id = useId();
  const [copied, note] = useState(false);
  const [series] = made.key.series;
  const line = W.curl(location.origin, made.token, series, new Date().toISOString().slice(0, 19), W.examples[series]);
  const copy = async () => {
    // Without a secure address the browser offers no way to copy: what is marked can be copied by hand.
    await navigator.clipboard?.writeText(made.token).then(() => note(true), () => mark(id));
    if (!navigator.clipboard) mark(id);
  };
  return html`<section class="card-section once" aria-label=${W.once}><h2>${W.once}</h2><p>${W.once_hint}</p>
    <code id=${id} class="secret">${made.token}</code>
    <p><button type="button" class="plain-button" onClick=${copy}>${copied ? W.copied : W.copy}</button></p>
    <p>${W.try_it}</p><pre><code>${line}</code></pre></section>`;
}

/** @param {string} id of what is to be marked */
function mark(id) {
  const here = document.getElementById(id);
  if (here) getSelection()?.selectAllChildren(here);
}

/** @param {{plan: Plan, pond: Pond, onMade: (made: Made) => void}} props */
function NewKey({ plan, pond, onMade }) {
  const [label, type] = useState("");
  const [chosen, choose] = useState(/** @type {Set<string>} */ (new Set(["water_c"])));
  const [wrong, fail] = useState({ label: "", series: "" });
  const [refused, refuse] = useState("");
  useHalfTyped(label !== "");
  const make = async (event) => {
    event.preventDefault();
    const found = { label: label.trim() ? "" : words.pond.required, series: chosen.size > 0 ? "" : W.one_series };
    fail(found);
    showFirstError(event.currentTarget);
    if (found.label || found.series) return;
    const series = Object.keys(W.series).filter((one) => chosen.has(one));
    const answer = await ask("POST", "/api/probe-keys", { pond: pond.id, series, label: label.trim() },
      (data) => typeof data?.token === "string");
    refuse(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
    if (!answer.ok) return;
    type("");
    onMade(answer.data);
  };
  const flip = (/** @type {string} */ name) => {
    const next = new Set(chosen);
    if (!next.delete(name)) next.add(name);
    choose(next);
  };
  const box = (/** @type {string} */ name) => html`<label class="choice" key=${name}>
    <input type="checkbox" checked=${chosen.has(name)} onChange=${() => flip(name)} />
    <span>${W.series[name]}<small>${name}</small></span></label>`;
  const names = Object.keys(W.series);
  return html`<section class="card-section"><h2>${W.new_key}</h2>
    <form onSubmit=${make} novalidate>
      ${plan.ponds.length > 1 && html`<p>${W.for_pond(pond.name)}</p>`}
      <${TextField} label=${W.label} hint=${W.label_hint} text=${label} onText=${type} error=${wrong.label} />
      <fieldset><legend>${W.may_send}</legend>${names.slice(0, FEW).map(box)}
        <details class="workings"><summary>${W.more}</summary>${names.slice(FEW).map(box)}</details></fieldset>
      ${(wrong.series || refused) && html`<p class="form-error" role="alert">${wrong.series || refused}</p>`}
      <button type="submit" class="wide-button">${W.make}</button></form></section>`;
}
