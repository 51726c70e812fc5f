// On duty: who hears first when something serious was not done, then who hears next. Each tap is saved at once.
import { html, useRef, useState } from "../../ui.js";
import { handOvers } from "../../domain/hand-overs.js";
import { dutyWords } from "../../words/hand-over-words.js";
import { makeEntry, record } from "../../record.js";
import { useStore } from "../../store.js";

const W = dutyWords;

/** @param {{pond: import("../../domain/types.js").Pond}} props */
export function OnDuty({ pond }) {
  const { plan, seen } = useStore();
  const list = useRef(/** @type {HTMLElement|null} */ (null));
  const helpers = new Set(handOvers(plan, seen).flatMap((one) => one.helpers.map(({ id }) => id)));
  const names = new Map(Object.entries(plan?.person_names ?? {}).filter(([id]) => !helpers.has(id)));
  // What was tapped counts at once; the store knows it a moment later, when it is written.
  const [tapped, tap] = useState(/** @type {string[]|null} */ (null));
  const order = (tapped ?? pond.on_duty ?? []).filter((id) => names.has(id));
  const others = [...names.keys()].filter((id) => !order.includes(id));
  if (names.size < 2) return null;
  const save = async (/** @type {string[]} */ value) => {
    tap(value);
    await record([makeEntry("set", pond.id, { target: "pond", field: "on_duty", value, effective_from: null })],
      W.said(value.map((id) => names.get(id)).join(", ")));
    tap((now) => (now === value ? null : now));
  };
  const move = (/** @type {number} */ n, /** @type {number} */ by) => {
    const next = order.filter((_, k) => k !== n);
    next.splice(n + by, 0, order[n]);
    save(next);
    // The button that was pressed goes with its person, so that it can be pressed again.
    setTimeout(() => /** @type {HTMLElement|null|undefined} */ (list.current?.children[n + by]
      ?.querySelector(by < 0 ? "[data-up]:enabled, [data-down]" : "[data-down]:enabled, [data-up]"))?.focus());
  };
  return html`<section class="card-section on-duty" aria-labelledby="on-duty"><h2 id="on-duty">${W.title}</h2>
    <p class="quiet">${W.hint}</p>
    ${order.length === 0 && html`<p>${W.nobody}</p>`}
    <ol ref=${list}>${order.map((id, n) => html`<li class="entry-line" key=${id}>
      <div class="entry-what"><p><b>${names.get(id)}</b></p><p class="quiet">${n === 0 ? W.first : W.then}</p></div>
      <button type="button" class="step" data-up disabled=${n === 0} aria-label=${W.up(names.get(id))}
        onClick=${() => move(n, -1)}>↑</button>
      <button type="button" class="step" data-down disabled=${n === order.length - 1}
        aria-label=${W.down(names.get(id))} onClick=${() => move(n, 1)}>↓</button>
      <button type="button" class="text-button" aria-label=${W.off(names.get(id))}
        onClick=${() => save(order.filter((one) => one !== id))}>${W.take_off}</button></li>`)}</ol>
    ${others.length > 0 && html`<div class="pair">${others.map((id) => html`<button type="button" key=${id}
      class="plain-button" onClick=${() => save([...order, id])}>${W.on(names.get(id))}</button>`)}</div>`}
  </section>`;
}
