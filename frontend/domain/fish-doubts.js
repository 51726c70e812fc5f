// Is a length or a weight what the keeper meant? Asked before it is kept; never changed unasked, never refused.
// What a fish would nearly surely measure comes from home, with its list.

/** @typedef {import("./fish-types.js").FishState} FishState */

/** As home's domain/fish/length_weight.py has it; tests hold both to one value. */
export const TOTAL_PER_STANDARD = 1.2;
const CM_PER_INCH = 2.54;
/** @type {[number, number]} */
const ANY_TOTAL_CM = [4, 100];
/** What a weight may have been in instead: kilograms, pounds, ounces where grams are read; kilograms, ounces, grams
 * where pounds are; and a slip of the point. @type {Record<string, number[]>} */
const INSTEAD = { g: [1000, 453.59237, 28.349523125, 10, 0.1],
  "lb oz": [1000 / 453.59237, 1 / 16, 1 / 453.59237, 10, 0.1] };

/** @param {number} value @param {[number, number]} band */
function inside(value, [low, high]) {
  return low <= value && value <= high;
}

/** What the length would nearly surely lie between. @param {FishState} fish @param {"standard"|"total"} length_is
 * @returns {[number, number]} */
function expectedCm({ expect_length_cm, expect_length_is }, length_is) {
  const [low, high] = expect_length_cm ?? ANY_TOTAL_CM;
  const told = (expect_length_cm && expect_length_is) || "total";
  if (told === length_is) return [low, high];
  const per = length_is === "total" ? TOTAL_PER_STANDARD : 1 / TOTAL_PER_STANDARD;
  return [low * per, high * per];
}

/** Null when there is nothing to ask; `meant` where a slip of the point, or inches, explain it [cm].
 * @param {FishState} fish @param {number} cm @param {"standard"|"total"} length_is
 * @returns {{meant: number[]}|null} */
export function lengthDoubt(fish, cm, length_is) {
  const expected = expectedCm(fish, length_is);
  if (inside(cm, expected)) return null;
  const meant = [cm * 10, cm / 10, cm * CM_PER_INCH].map((one) => Math.round(one * 10) / 10);
  return { meant: meant.filter((one) => inside(one, expected)) };
}

/** The same of a weight; `meant` in grams, of the units it may have been read in.
 * @param {FishState} fish @param {number} grams @param {string} [unit] what the keeper reads
 * @returns {{meant: number[]}|null} */
export function weightDoubt({ expect_weight_g }, grams, unit = "g") {
  if (!expect_weight_g || inside(grams, expect_weight_g)) return null;
  return { meant: INSTEAD[unit].map((per) => tidy(grams * per)).filter((one) => inside(one, expect_weight_g)) };
}

/** Without rounding dust. @param {number} value */
function tidy(value) {
  return Number(value.toPrecision(4));
}
