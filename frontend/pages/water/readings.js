// A test session: several readings in at once, in the order of the keeper's kit. What looks mistaken is asked about,
// once, and kept as typed if the keeper says so; what no kit can show is refused.
import { html, useId, useState } from "../../ui.js";
import { doubt } from "../../domain/doubts.js";
import { isReading } from "../../domain/fold.js";
import { parsed } from "../../formats.js";
import { PondPick, rangeError, showFirstError } from "../../parts/fields.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { KitList, Measured } from "../../parts/measured-field.js";
import { makeEntry, record } from "../../record.js";
import { cameFrom, go, useHalfTyped } from "../../router.js";
import { useStore } from "../../store.js";
import { readKit, writeKit } from "../../test-kit.js";
import { inUnits, isAt, toShown, toStored } from "../../units.js";
import { waterWords } from "../../words/water-words.js";
import { words } from "../../words.js";

/** @typedef {import("../../units.js").Shown} Shown */
/** @typedef {import("../../store.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../test-kit.js").Kit} Kit */

const W = waterWords;

/** What a value typed there, in the unit shown, would nearly surely be.
 * @param {Plan} plan @param {Pond} pond @param {string} point @param {Shown} one @returns {[number, number]|null} */
function expectedOf(plan, pond, point, one) {
  const water = plan.water.find((other) => other.pond === pond.id);
  const found = water?.expected.find((other) => other.quantity === one.quantity && other.point === point);
  return found ? [toShown(one, found.low), toShown(one, found.high)] : null;
}

/** The fields of a session, as filled in so far: those of the kit first. `kept`: texts the keeper stands by.
 * @param {Plan} plan @param {Pond} pond @param {Kit} kit @param {string} point @param {Record<string, string>} texts
 * @param {Record<string, string>} kept */
function sessionOf(plan, pond, kit, point, texts, kept) {
  const all = plan.quantities.filter((known) => isAt(known, point)).map((known) => {
    const one = inUnits({ ...known, step: kit.steps[known.quantity] ?? known.step }, pond);
    const text = (texts[one.quantity] ?? "").trim();
    const expected = expectedOf(plan, pond, point, one);
    const value = parsed(text);
    return { one, text, expected, doubt: Number.isNaN(value) ? null : doubt(one, value, expected),
      kept: text !== "" && kept[one.quantity] === text };
  });
  const mine = (kit.order[point] ?? []).flatMap((name) => all.find(({ one }) => one.quantity === name) ?? []);
  const rest = all.filter((field) => !mine.includes(field));
  const filled = [...mine, ...rest].filter(({ text }) => text !== "");
  const doubted = filled.filter((field) => field.doubt && !field.kept);
  return { mine, rest, filled, doubted, asked: doubted.map(({ one, text }) => `${one.quantity} ${text}`).join() };
}

/** @param {Kit} kit @param {string} point @param {{one: Shown, text: string}} field what the entry says */
function readingOf(kit, point, { one, text }) {
  const step = kit.steps[one.quantity];
  return { quantity: one.quantity, point, value: toStored(one, parsed(text)), ...(step ? { step } : {}) };
}

/** The kit with what was measured now at the end of its order. @param {Kit} kit @param {string} point
 * @param {string[]} names */
function withMeasured(kit, point, names) {
  const order = kit.order[point] ?? [];
  return { ...kit, order: { ...kit.order, [point]: [...new Set([...order, ...names])] } };
}

/** @param {{plan: Plan, pond: Pond, facts: import("../../domain/types.js").Seen[], of: string|null,
 *   now_ms: number}} props */
export function AddReadings({ plan, pond, facts, of, now_ms }) {
  const { skew_s } = useStore();
  const [kit, change] = useState(readKit);
  const [texts, type] = useState(/** @type {Record<string, string>} */ ({}));
  const [kept, stand] = useState(/** @type {Record<string, string>} */ ({}));
  const [left, leave] = useState(/** @type {Set<string>} */ (new Set()));
  const [point, from] = useState(of && of in W.points ? of : "pond");
  const [at, when] = useState("");
  // What was asked when saving was tried last: tried again with the same, it is kept as typed.
  const [tried, attempt] = useState(/** @type {string|null} */ (null));
  const { mine, rest, filled, doubted, asked } = sessionOf(plan, pond, kit, point, texts, kept);
  const impossible = filled.some(({ one, text }) => rangeError(text, one));
  useHalfTyped(filled.length > 0);
  const keep = (/** @type {Kit} */ next) => {
    change(next);
    writeKit(next);
  };
  const save = async (event) => {
    event.preventDefault();
    attempt(asked);
    showFirstError(event.currentTarget);
    if (filled.length === 0 || impossible || momentError(at, pond.zone, now_ms) || (asked && tried !== asked)) return;
    const ms = momentMs(at, pond.zone, skew_s);
    await record(filled.map((field) => makeEntry("reading", pond.id, readingOf(kit, point, field), ms)),
      W.saved(filled.length));
    keep(withMeasured(kit, point, filled.map(({ one }) => one.quantity)));
    go(cameFrom("/water"), true);
  };
  const draw = ({ one, expected, ...field }) => {
    const name = one.quantity;
    return html`<${Measured} key=${name} known=${one} text=${texts[name] ?? ""} expected=${expected}
      onText=${(text) => type({ ...texts, [name]: text })} tried=${tried !== null}
      last=${facts.filter((fact) => isReading(fact, pond.id, name, point)).pop()?.entry.value}
      doubtful=${(tried !== null || left.has(name)) && !field.kept ? field.doubt : null}
      onLeave=${() => leave(new Set([...left, name]))} onKeep=${() => stand({ ...kept, [name]: field.text })} />`;
  };
  return html`<main class="page">
    <header class="page-head"><div><h1>${W.add_title}</h1><p class="quiet">${W.fill_one}</p></div></header>
    <form class="form session" onSubmit=${save} novalidate>
      <${PondPick} />
      <div class="pair"><${PointPick} point=${point} onPick=${from} />
        <${MomentField} label=${W.at} text=${at} onText=${when} zone=${pond.zone} now_ms=${now_ms}
          error=${tried === null ? "" : momentError(at, pond.zone, now_ms)} /></div>
      ${mine.map(draw)}
      ${rest.length > 0 && html`<details class="workings"><summary>${W.more_quantities}</summary>${rest.map(draw)}
        </details>`}
      <${KitList} mine=${mine.map(({ one }) => one)} kit=${kit} point=${point} onKit=${keep} />
      ${tried !== null && filled.length === 0 && html`<p class="form-error" role="alert">${W.nothing_filled}</p>`}
      ${tried !== null && impossible && html`<p class="form-error" role="alert">${W.impossible_first}</p>`}
      ${doubted.length > 0 && !impossible && tried === asked
        && html`<p class="form-error" role="alert">${W.doubt_first}</p>`}
      <div class="pair"><button type="submit" class="wide-button">${W.save}</button>
        <a class="plain-button" href="/water">${words.card.cancel}</a></div>
    </form>
  </main>`;
}

/** @param {{point: string, onPick: (point: string) => void}} props */
function PointPick({ point, onPick }) {
  const id = useId();
  return html`<p class="pond-pick"><label for=${id}>${W.point}</label>
    <select id=${id} value=${point} onChange=${(event) => onPick(event.target.value)}>
      ${Object.entries(W.points).map(([value, text]) => html`<option key=${value} value=${value}>${text}</option>`)}
    </select></p>`;
}
