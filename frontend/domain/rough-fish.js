// How much fish there is, roughly, while it is typed. The server's copy is domain/fish/rough_mass.py; a test holds both
// to one answer.

const [INTERCEPT, SLOPE, HEAVIER] = [-4.639, 2.92, 0.1];

/** What so many fish of about that length, tail fin and all, weigh together [g]. @param {number} count
 * @param {number} total_cm */
export function roughMassG(count, total_cm) {
  return count * 10 ** (INTERCEPT + SLOPE * Math.log10(total_cm * 10)) * Math.exp(HEAVIER);
}
