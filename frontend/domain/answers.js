// The answer to a reading the server has not seen: a comparison with its cuts, and no other arithmetic.
//
// The server's copy is backend/evenwater/domain/water/ranges.py. Both answer every case of
// tests/reference/water/answer_cases.json alike.

/** @typedef {import("./types.js").Cuts} Cuts */
/** @typedef {import("./types.js").Answer} Answer */

/** Where the kit's step spans two answers, the worse; a kit that shows nothing at all is drifting at most.
 * @param {Cuts} cuts @param {number} value in the stored unit @param {number} [step] the kit's, in the same unit
 * @returns {Answer} */
export function answerOf(cuts, value, step = 0) {
  const low = value - step / 2;
  const high = value + step / 2;
  const under = (/** @type {number|null} */ cut) => cut !== null && low <= cut;
  const over = (/** @type {number} */ reached, /** @type {number|null} */ cut) => cut !== null && reached >= cut;
  if (under(cuts.act_below) || over(value === 0 ? value : high, cuts.act_above)) return "act_now";
  return under(cuts.drift_below) || over(high, cuts.drift_above) || over(high, cuts.act_above)
    ? "drifting" : "in_range";
}
