// A test session: several readings in at once, in the order of the keeper's kit. What looks mistaken is asked about,
// once, and kept as typed if the keeper says so; what no kit can show is refused.
import { html, useId, useState } from "../ui.js";
import { doubt } from "../domain/doubts.js";
import { isReading } from "../domain/fold.js";
import { number, parsed } from "../formats.js";
import { readKit, writeKit } from "../test-kit.js";
import { MomentField, momentError, momentMs, NumberField, PondPick, rangeError } from "../parts/fields.js";
import { makeEntry, record } from "../record.js";
import { go, useHalfTyped } from "../router.js";
import { useStore } from "../store.js";
import { inUnits, shownNumber, toShown, toStored } from "../units.js";
import { waterWords } from "../water-words.js";
import { words } from "../words.js";

/** @typedef {import("../units.js").Shown} Shown */

const W = waterWords;

/** @param {{plan: import("../store.js").Plan, pond: import("../domain/types.js").Pond,
 *   facts: import("../domain/types.js").Seen[], of: string|null, now_ms: number}} props */
export function AddReadings({ plan, pond, facts, of, now_ms }) {
  const { skew_s } = useStore();
  const [kit, change] = useState(readKit);
  const [texts, type] = useState(/** @type {Record<string, string>} */ ({}));
  const [left, leave] = useState(/** @type {Record<string, string>} */ ({}));
  const [point, from] = useState(of && of in W.points ? of : "pond");
  const [at, when] = useState("");
  const [tried, attempt] = useState(/** @type {string|null} */ (null));
  const all = plan.quantities.map((one) => inUnits({ ...one, step: kit.steps[one.quantity] ?? one.step }, pond));
  const mine = (kit.order[point] ?? []).flatMap((name) => all.find((one) => one.quantity === name) ?? []);
  const rest = all.filter((one) => !mine.includes(one));
  const filled = [...mine, ...rest].filter(({ quantity }) => (texts[quantity] ?? "").trim() !== "");
  useHalfTyped(filled.length > 0);
  const water = plan.water.find((one) => one.pond === pond.id);
  const expected = (/** @type {Shown} */ one) => {
    const found = water?.expected.find((other) => other.quantity === one.quantity && other.point === point);
    return found ? /** @type {[number, number]} */ ([toShown(one, found.low), toShown(one, found.high)]) : null;
  };
  const doubtOf = (/** @type {Shown} */ one) => {
    const value = parsed(texts[one.quantity] ?? "");
    return Number.isNaN(value) ? null : doubt(one, value, expected(one));
  };
  const asked = filled.filter(doubtOf).map((one) => `${one.quantity} ${texts[one.quantity]}`).join();
  const kept = (/** @type {Shown} */ one) => left[one.quantity] === `keep ${texts[one.quantity]}`;
  const unanswered = filled.some((one) => doubtOf(one) && !kept(one));
  const save = async (event) => {
    event.preventDefault();
    attempt(asked);
    const wrong = filled.some((one) => rangeError(texts[one.quantity], one)) || momentError(at, pond.zone, now_ms);
    if (filled.length === 0 || wrong || (unanswered && tried !== asked)) return;
    const ms = momentMs(at, pond.zone, skew_s);
    await record(filled.map((one) => makeEntry("reading", pond.id, readingOf(one)(texts[one.quantity]), ms)),
      W.saved(filled.length));
    remember(filled.map((one) => one.quantity));
    go("/water", true);
  };
  const readingOf = ({ quantity, ...known }) => (text) => ({
    quantity, point, value: toStored(/** @type {Shown} */ ({ quantity, ...known }), parsed(text)),
    ...(kit.steps[quantity] ? { step: kit.steps[quantity] } : {}),
  });
  const remember = (names) => {
    const order = kit.order[point] ?? [];
    keep({ ...kit, order: { ...kit.order, [point]: [...order, ...names.filter((one) => !order.includes(one))] } });
  };
  const keep = (next) => {
    change(next);
    writeKit(next);
  };
  const field = (/** @type {Shown} */ one) => html`<${Measured} key=${one.quantity} known=${one}
    text=${texts[one.quantity] ?? ""} onText=${(text) => type({ ...texts, [one.quantity]: text })}
    last=${facts.filter((fact) => isReading(fact, pond.id, one.quantity, point)).pop()?.entry.value}
    doubtful=${tried !== null || left[one.quantity] !== undefined ? doubtOf(one) : null} expected=${expected(one)}
    kept=${kept(one)} tried=${tried !== null}
    onLeave=${(mark) => leave({ ...left, [one.quantity]: mark })} />`;
  return html`<main class="page">
    <header class="page-head"><div><h1>${W.add_title}</h1><p class="quiet">${W.fill_one}</p></div></header>
    <form class="form session" onSubmit=${save} novalidate>
      <${PondPick} />
      <div class="pair"><${PointPick} point=${point} onPick=${from} />
        <${MomentField} label=${W.at} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms}
          error=${tried === null ? "" : momentError(at, pond.zone, now_ms)} /></div>
      ${mine.map(field)}
      ${rest.length > 0 && html`<details class="workings"><summary>${W.more_quantities}</summary>${rest.map(field)}
        </details>`}
      <${KitList} mine=${mine} kit=${kit} point=${point} onKit=${keep} />
      ${tried !== null && filled.length === 0 && html`<p class="form-error" role="alert">${W.nothing_filled}</p>`}
      ${tried === asked && unanswered && html`<p class="form-error" role="alert">${W.doubt_first}</p>`}
      <div class="pair"><button type="submit" class="wide-button">${W.save}</button>
        <a class="plain-button" href="/water">${words.card.cancel}</a></div>
    </form>
  </main>`;
}

/** One field, with what is asked about it.
 * @param {{known: Shown, text: string, onText: (text: string) => void, last: number|undefined, kept: boolean,
 *   doubtful: import("../domain/doubts.js").Doubt|null, expected: [number, number]|null, tried: boolean,
 *   onLeave: (mark: string) => void}} props */
function Measured({ known, text, onText, last, doubtful, expected, kept, tried, onLeave }) {
  const error = text && (tried || doubtful) ? rangeError(text, known) : "";
  const say = (/** @type {number} */ value) =>
    `${number(Number(value.toFixed(known.decimals)))}${known.unit ? ` ${known.unit}` : ""}`;
  const ask = text && doubtful && !kept ? doubtWords(doubtful, parsed(text), known, expected, say) : "";
  const use = () => onText(/** @type {number} */ (doubtful?.meant).toFixed(known.decimals));
  return html`<div onFocusOut=${() => text && onLeave(kept ? `keep ${text}` : "left")}>
    <${NumberField} ...${known} text=${text} onText=${onText} next error=${error}
      start=${last === undefined ? known.low : toShown(known, last)}
      hint=${last === undefined ? "" : `${W.before} ${shownNumber(known, last)}`} />
    ${ask && html`<div class="doubt" role="status"><p>${ask}</p><div class="pair">
      ${doubtful?.meant !== null && html`<button type="button" class="plain-button"
        onClick=${use}>${W.use(say(doubtful?.meant ?? 0))}</button>`}
      ${!error && html`<button type="button" class="plain-button"
        onClick=${() => onLeave(`keep ${text}`)}>${W.keep(say(parsed(text)))}</button>`}</div></div>`}
  </div>`;
}

/** @param {import("../domain/doubts.js").Doubt} doubtful @param {number} typed @param {Shown} known
 * @param {[number, number]|null} expected @param {(value: number) => string} say */
function doubtWords({ kind, meant, unit }, typed, known, expected, say) {
  if (kind === "slip" && meant !== null) return W.doubt_slip(say(meant));
  if (kind === "unit") return W.doubt_unit(number(typed), unit ?? "", meant === null ? "" : say(meant));
  return expected ? W.doubt_jump(say(expected[0]), say(expected[1])) : "";
}

/** The kit of this device at this point: earlier, not in it, and one step of each test.
 * @param {{mine: Shown[], kit: import("../test-kit.js").Kit, point: string,
 *   onKit: (kit: import("../test-kit.js").Kit) => void}} props */
function KitList({ mine, kit, point, onKit }) {
  const order = (/** @type {string[]} */ names) => onKit({ ...kit, order: { ...kit.order, [point]: names } });
  const names = mine.map((one) => one.quantity);
  const up = (n) => order([...names.slice(0, n - 1), names[n], names[n - 1], ...names.slice(n + 1)]);
  const step = (known, text) => {
    const { [known.quantity]: _, ...steps } = kit.steps;
    const value = parsed(text) / known.per;
    onKit({ ...kit, steps: value > 0 ? { ...steps, [known.quantity]: value } : steps });
  };
  if (mine.length === 0) return null;
  return html`<details class="workings"><summary>${W.kit}</summary><p class="quiet">${W.kit_hint}</p>
    <ul>${mine.map((one, n) => html`<li class="entry-line kit-line" key=${one.quantity}><strong>${one.label}</strong>
      <input class="step-of" inputmode="decimal" aria-label=${W.step_of(one.label)} maxlength="9"
        value=${number(one.step)} onChange=${(event) => step(one, event.target.value)} />
      <span class="unit">${one.unit}</span>
      <button type="button" class="text-button" disabled=${n === 0} aria-label=${W.up(one.label)}
        onClick=${() => up(n)}>↑</button>
      <button type="button" class="text-button" aria-label=${W.drop(one.label)}
        onClick=${() => order(names.filter((name) => name !== one.quantity))}>×</button></li>`)}</ul></details>`;
}

/** @param {{point: string, onPick: (point: string) => void}} props */
function PointPick({ point, onPick }) {
  const id = useId();
  return html`<p class="pond-pick"><label for=${id}>${W.point}</label>
    <select id=${id} value=${point} onChange=${(event) => onPick(event.target.value)}>
      ${Object.entries(W.points).map(([value, text]) => html`<option key=${value} value=${value}>${text}</option>`)}
    </select></p>`;
}
