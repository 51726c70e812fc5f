// What the keeper has not told of a pond yet, as questions by name. One that makes no sense there is not asked.

/** @typedef {import("./types.js").Pond} Pond */
/** @typedef {import("./types.js").Plan} Plan */

/** By question: whether it is told, or makes no sense here. The first ones matter soonest.
 * @type {Record<string, (pond: Pond, plan: Plan) => any>} */
const TOLD = {
  volume: (pond) => pond.volume_l,
  capful: (pond) => pond.capful_g,
  source: (pond) => pond.source_kh_dkh != null || pond.mains?.kh_dkh != null,
  place: (pond) => pond.latitude != null,
  cover: (pond) => pond.cover,
  walls: (pond) => pond.shell?.walls?.length,
  water: (pond, plan) => warmth(pond, plan)?.water_c != null,
  air: (pond, plan) => pond.weather_service || warmth(pond, plan)?.tonight,
  heater: (pond) => pond.heater,
  tariff: (pond) => pond.tariff || !pond.heater,
  band: (pond) => pond.warm_low_c != null || !pond.heater,
  fish: (pond, plan) => pond.fish_count != null || plan.fish?.find((one) => one.pond === pond.id)?.fish.length,
  kit: (pond) => pond.kit?.length,
  places: (pond) => pond.places?.length,
  ring: (pond) => pond.ring?.length,
};

/** @param {Pond} pond @param {Plan} plan */
function warmth(pond, plan) {
  return plan.warmth?.find((one) => one.pond === pond.id);
}

/** What is still to be told, without what the keeper leaves. @param {Pond} pond @param {Plan} plan
 * @returns {string[]} */
export function untold(pond, plan) {
  // An older home knows no list of what is left, nor all the settings.
  if (!pond.left_untold) return [];
  return Object.keys(TOLD).filter((name) => !pond.left_untold?.includes(name) && !TOLD[name](pond, plan));
}
