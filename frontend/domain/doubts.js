// Is a typed value what the person meant? Asked before it is saved; never changed unasked, never refused here.
//
// The server's copy is backend/evenwater/domain/water/doubts.py. Both answer every case of
// tests/reference/water/doubt_cases.json alike, to the last bit: keep the order of operations.

/** @typedef {import("./types.js").Quantity} Quantity */

/**
 * @typedef {object} Doubt
 * @property {"jump"|"unit"|"slip"} kind
 * @property {number|null} meant   what it would be in the stored unit, null where it cannot be told
 * @property {string|null} unit    the unit it seems to be in
 */

export const PERCENT_OF_SATURATION = "% of saturation";
const MOST_PERCENT = 200;
const SLIPS = [10, 100];
// Closer than this to each other, a unit and a slip are as likely: the unit, which comes first.
const SAME = 1e-9;

/** What to ask about a typed value, null when there is nothing to ask; null too for a value no kit can show and
 * nothing explains: the field itself refuses that.
 * @param {Quantity} quantity
 * @param {number} value                      as typed, taken to be in the stored unit
 * @param {[number, number]|null} expected    lowest and highest reading this pond would nearly surely show now
 * @returns {Doubt|null} */
export function doubt(quantity, value, expected) {
  const possible = quantity.low <= value && value <= quantity.high;
  if (isPercent(quantity, value, possible)) return { kind: "unit", meant: null, unit: PERCENT_OF_SATURATION };
  if (expected !== null) {
    if (possible && inside(value, expected)) return null;
    const found = nearest(candidates(quantity, value, true), expected);
    if (found || possible) return found ?? { kind: "jump", meant: null, unit: null };
  }
  if (possible && inside(value, quantity.usual)) return null;
  const usual = candidates(quantity, value, !possible).find((one) => inside(one.meant, quantity.usual));
  return usual ?? null;
}

/** @param {Quantity} quantity @param {number} value @param {boolean} slips
 * @returns {{kind: "unit"|"slip", meant: number, unit: string|null}[]} */
function candidates(quantity, value, slips) {
  const units = quantity.others.map((other) => (
    { kind: /** @type {const} */ ("unit"), meant: (value - other.offset) / other.per, unit: other.unit }));
  const slipped = SLIPS.flatMap((factor) => [value / factor, value * factor])
    .map((meant) => ({ kind: /** @type {const} */ ("slip"), meant, unit: null }));
  return slips ? [...units, ...slipped] : units;
}

/** @param {number} value @param {[number, number]} band */
function inside(value, band) {
  return band[0] <= value && value <= band[1];
}

/** Of those inside the band the one nearest its middle, units first.
 * @param {{kind: "unit"|"slip", meant: number, unit: string|null}[]} all @param {[number, number]} band
 * @returns {Doubt|null} */
function nearest(all, band) {
  const middle = (band[0] + band[1]) / 2;
  /** @type {Doubt|null} */
  let best = null;
  let least = 0;
  for (const one of all) {
    if (!inside(one.meant, band)) continue;
    const away = Math.abs(one.meant - middle);
    if (best === null || away < least - SAME) {
      best = one;
      least = away;
    }
  }
  return best;
}

/** Oxygen as a share of saturation: what that is in mg/L hangs on the temperature, so nothing is proposed.
 * @param {Quantity} quantity @param {number} value @param {boolean} possible */
function isPercent(quantity, value, possible) {
  return quantity.quantity === "oxygen_mg_per_l" && !possible && value > 0 && value <= MOST_PERCENT;
}
