// A field of the test session, with what is asked about its value; and the kit of this device.
import { html } from "../ui.js";
import { number, parsed } from "../formats.js";
import { shownNumber, toShown } from "../units.js";
import { waterWords } from "../words/water-words.js";
import { NumberField, rangeError } from "./fields.js";

/** @typedef {import("../units.js").Shown} Shown */

const W = waterWords;

/** One field; `doubtful`: what there is to ask about its value.
 * @param {{known: Shown, text: string, onText: (text: string) => void, last: number|undefined,
 *   doubtful: import("../domain/doubts.js").Doubt|null, expected: [number, number]|null, tried: boolean,
 *   onLeave: () => void, onKeep: () => void}} props */
export function Measured({ known, text, onText, last, doubtful, expected, tried, onLeave, onKeep }) {
  const error = text && (tried || doubtful) ? rangeError(text, known) : "";
  const say = (/** @type {number} */ value) =>
    `${number(Number(value.toFixed(known.decimals)))}${known.unit ? ` ${known.unit}` : ""}`;
  const ask = text && doubtful ? doubtWords(doubtful, parsed(text), expected, say) : "";
  const meant = doubtful?.meant ?? null;
  return html`<div onFocusOut=${() => text && onLeave()}>
    <${NumberField} ...${known} text=${text} onText=${onText} next error=${error}
      start=${last === undefined ? known.low : toShown(known, last)}
      hint=${last === undefined ? "" : `${W.before} ${shownNumber(known, last)}`} />
    ${ask && html`<div class="doubt" role="status"><p>${ask}</p><div class="pair">
      ${meant !== null && html`<button type="button" class="plain-button"
        onClick=${() => onText(meant.toFixed(known.decimals))}>${W.use(say(meant))}</button>`}
      ${!error && html`<button type="button" class="plain-button"
        onClick=${onKeep}>${W.keep(say(parsed(text)))}</button>`}</div></div>`}
  </div>`;
}

/** @param {import("../domain/doubts.js").Doubt} doubtful @param {number} typed
 * @param {[number, number]|null} expected @param {(value: number) => string} say */
function doubtWords({ kind, meant, unit }, typed, expected, say) {
  if (kind === "slip" && meant !== null) return W.doubt_slip(say(meant));
  if (kind === "unit") return W.doubt_unit(number(typed), unit ?? "", meant === null ? "" : say(meant));
  return expected ? W.doubt_jump(say(expected[0]), say(expected[1])) : "";
}

/** The kit of this device at this point: earlier, not in it, and one step of each test.
 * @param {{mine: Shown[], kit: import("../test-kit.js").Kit, point: string,
 *   onKit: (kit: import("../test-kit.js").Kit) => void}} props */
export function KitList({ mine, kit, point, onKit }) {
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
