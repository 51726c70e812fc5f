// The test kit as this device remembers it: what is measured where, in which order, and one step of each test.
const KEY = "evenwater-kit";

/** What a first test is offered, until the keeper's own order is known. @type {Record<string, string[]>} */
const FIRST = {
  pond: ["kh_dkh", "gh_dgh", "ph", "temperature_c", "tan_mg_n_per_l", "nitrite_n_mg_per_l", "nitrate_n_mg_per_l"],
  mains: ["kh_dkh", "gh_dgh", "ec25_us_per_cm", "total_chlorine_ug_per_l"],
  after_carbon: ["total_chlorine_ug_per_l"],
  after_membrane: ["ec25_us_per_cm"],
  outside: ["air_temperature_c", "relative_humidity_fraction"],
  filter_house: ["air_temperature_c", "relative_humidity_fraction"],
  heater: ["heater_meter_kwh"],
};

/** @typedef {{order: Record<string, string[]>, steps: Record<string, number>}} Kit   `steps` in the stored unit */

/** @returns {Kit} */
export function readKit() {
  try {
    const { order, steps } = JSON.parse(localStorage.getItem(KEY) ?? "");
    return { order: { ...FIRST, ...order }, steps: { ...steps } };
  } catch {
    return { order: FIRST, steps: {} };
  }
}

/** @param {Kit} kit */
export function writeKit(kit) {
  try {
    localStorage.setItem(KEY, JSON.stringify(kit));
  } catch {
    // Barred storage: the next test begins as the first did.
  }
}
