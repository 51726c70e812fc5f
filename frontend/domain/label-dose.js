// A product by its own label's words. Home's copy is backend/evenwater/domain/water/label_dose.py; a test holds both to
// one answer, so keep the order of operations.

/** @typedef {{low_l: number, volume_l: number, high_l: number, says: string}} KnownVolume */

/** More of anything in each litre is a slip of the point. */
const MOST_PER_L = 10;

/** For the volume as it is known, and for its ends; null where no label says that.
 * @param {number} amount in the label's unit @param {number} per_l @param {KnownVolume} volume
 * @returns {{low: number, amount: number, high: number}|null} */
export function labelDose(amount, per_l, { low_l, volume_l, high_l }) {
  if (!(amount > 0 && per_l > 0) || amount > MOST_PER_L * per_l) return null;
  return { low: (low_l * amount) / per_l, amount: (volume_l * amount) / per_l, high: (high_l * amount) / per_l };
}
