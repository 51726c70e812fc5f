// Several readings at once: fill in what was measured, leave the rest empty.
import { html, useId, useState } from "../ui.js";
import { number, parsed } from "../formats.js";
import { NumberField, rangeError } from "../parts/number-field.js";
import { PondPick } from "../parts/pond-pick.js";
import { standing } from "../domain/fold.js";
import { makeEntry, record } from "../record.js";
import { go } from "../router.js";
import { useStore } from "../store.js";
import { useHalfTyped } from "../typing.js";
import { words } from "../words.js";

const POINTS = Object.entries(words.water.points);

/** @param {{plan: import("../store.js").Plan, pond: import("../domain/types.js").Pond}} props */
export function AddReadings({ plan, pond }) {
  const { seen } = useStore();
  const [texts, type] = useState(/** @type {Record<string, string>} */ ({}));
  const [point, from] = useState("pond");
  const [tried, attempt] = useState(false);
  const [nothing, warn] = useState(false);
  const filled = plan.quantities.filter(({ quantity }) => (texts[quantity] ?? "").trim() !== "");
  useHalfTyped(filled.length > 0);
  const save = async (/** @type {Event} */ event) => {
    event.preventDefault();
    attempt(true);
    warn(filled.length === 0);
    if (filled.length === 0 || filled.some((one) => rangeError(texts[one.quantity], one))) return;
    const entries = filled.map(({ quantity }) => makeEntry("reading", pond.id, { quantity, value: parsed(texts[quantity]), point }));
    await record(entries, words.water.saved(entries.length));
    go("/water", true);
  };
  const facts = standing(seen.values());
  const lastOf = (/** @type {string} */ quantity) => facts.filter(({ entry }) => entry.kind === "reading" && entry.pond === pond.id
    && entry.quantity === quantity && (entry.point ?? "pond") === point).pop()?.entry.value;
  return html`<main class="page">
    <header class="page-head"><div><h1>${words.water.add_title}</h1><p class="quiet">${words.water.fill_one}</p></div></header>
    <form class="form" onSubmit=${save} novalidate>
      <${PondPick} />
      <${PointPick} point=${point} onPick=${from} />
      ${plan.quantities.map((one) => {
        const text = texts[one.quantity] ?? "";
        const last = lastOf(one.quantity);
        return html`<${NumberField} key=${one.quantity} ...${one} text=${text} start=${last ?? one.low}
          onText=${(/** @type {string} */ next) => type({ ...texts, [one.quantity]: next })}
          error=${tried && text ? rangeError(text, one) : ""}
          hint=${last === undefined ? "" : `${words.water.before} ${number(last)}`} />`;
      })}
      ${nothing && html`<p class="form-error" role="alert">${words.water.nothing_filled}</p>`}
      <div class="pair"><button type="submit" class="wide-button">${words.water.save}</button>
        <a class="plain-button" href="/water">${words.card.cancel}</a></div>
    </form>
  </main>`;
}

/** @param {{point: string, onPick: (point: string) => void}} props */
function PointPick({ point, onPick }) {
  const id = useId();
  return html`<p class="pond-pick"><label for=${id}>${words.water.point}</label>
    <select id=${id} value=${point} onChange=${(/** @type {any} */ event) => onPick(event.target.value)}>
      ${POINTS.map(([value, text]) => html`<option key=${value} value=${value}>${text}</option>`)}
    </select></p>`;
}
