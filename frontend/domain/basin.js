// How much water a basin holds, while its measures are typed. The server's copy is domain/water/basin.py; a test holds
// both to one answer.

/** What a pond may hold [L]. */
export const VOLUME_L = /** @type {const} */ ([100, 1_000_000]);
/** How far such a volume may be off, one standard deviation of it. */
export const BASIN_SD_FRACTION = Math.hypot(0.01, 0.01, 0.05, 0.05);
/** @type {Record<string, number>} */
const OF_A_BOX = { rectangle: 1, round: Math.PI / 4, oval: Math.PI / 4 };

/** Surface [m²] of a pond with that length and width [m]. @param {string} shape @param {number} length_m
 * @param {number} width_m */
export function surfaceM2(shape, length_m, width_m) {
  return OF_A_BOX[shape] * length_m * width_m;
}

/** Water in it, and in what goes round with it [L]. @param {string} shape @param {number} length_m
 * @param {number} width_m @param {number} depth_m @param {number} other_water_l */
export function basinVolumeL(shape, length_m, width_m, depth_m, other_water_l) {
  return 1000 * OF_A_BOX[shape] * length_m * width_m * depth_m + other_water_l;
}
