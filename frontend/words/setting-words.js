// How the pond book tells what was set: fields by the names their forms give them, units by the ends of names.
import { kitWords } from "./kit-words.js";
import { jobsWords, whenWords } from "./jobs-words.js";
import { startWords } from "./start-words.js";
import { warmthFormWords } from "./warmth-form-words.js";

const J = jobsWords;
const T = warmthFormWords;

export const settingWords = {
  said: (/** @type {string} */ of, /** @type {string} */ what, /** @type {string} */ value) =>
    (of ? `${of}, ${what.charAt(0).toLowerCase() + what.slice(1)}: ${value}`
      : `${what.charAt(0).toUpperCase() + what.slice(1)}: ${value}`),
  from: (/** @type {string} */ day) => `, from ${day}`,
  a_day: " a day",
  yes_no: { yes: "yes", no: "no" },
  job: {
    text: J.what, why: J.why, how: J.how, place: J.place, order: J.order, asks: J.asks, recur: whenWords.every,
    season: "season", starts_on: J.starts_on, windows: J.window, texts: J.window_text, only_if: J.only_if,
    after: J.after, shape: J.shape, amount: J.how_much, setting_c: "heater setting", who: J.who, serious: J.serious,
    waits_days: J.waits, minutes: J.minutes, cautions: J.cautions, service: J.service, kit: J.kit, picture: J.picture,
    active: "switched",
  },
  kit: {
    name: kitWords.name, kind: kitWords.kind, place: kitWords.place, fitted_on: kitWords.fitted_on,
    hours_per_day: kitWords.hours_per_day, flow_l_per_day: kitWords.flow, spares: kitWords.spares_held,
    parts: kitWords.parts,
    removed: "removed",
  },
  range: {
    act_below: "act now below", drift_below: "drifting below", drift_above: "drifting above",
    act_above: "act now above",
  },
  pond: {
    volume_l: startWords.volume, capful_g: startWords.capful, kh_target_dkh: startWords.target, zone: startWords.zone,
    source_kh_dkh: startWords.source_kh, inflow_l_per_day: startWords.inflow, kh_kit_step_dkh: startWords.kit_step,
    substance: startWords.substance, ring: "whom to ring", shell: T.titles.walls, cover: T.cover, heater: T.heater,
    appliances: T.appliances, tariff: T.titles.tariff, filter_house: T.titles.house, weather_service: T.weather,
    warm_low_c: T.low, warm_high_c: T.high, change_limit_c_per_day: T.change, season_floor_c: T.season_floor,
    worth_per_day: T.worth, season: "steps of the heater", places: J.places, on_duty: "on duty",
    water_running_limit_min: startWords.water_limit, kh_rise_limit_dkh: "KH may rise in a day by",
    feed_g_per_day: "usual food a day", feed_floor_c: "no food below", fish_count: "fish",
    fish_mass_g: "fish, together", left_untold: "questions left",
  },
  // Longest first: of "flow_l_per_day" the unit is "L a day", not "day".
  units: {
    w_per_m2_k: "W/(m² K)", w_per_m_k: "W/(m K)", w_per_k: "W/K", ug_per_l: "µg/L", mg_per_l: "mg/L",
    mg_n_per_l: "mg/L as N", us_per_cm: "µS/cm", l_per_min: "L a minute", l_per_day: "L a day", g_per_day: "g a day",
    c_per_day: "°C a day", per_kwh: "a kWh", per_kg: "a kg", per_day: "a day", fraction: "%", days: "days", min: "min",
    dkh: "°dKH", dgh: "°dGH", kwh: "kWh", mm: "mm", m2: "m²", m3: "m³", m: "m", c: "°C", l: "L", g: "g", w: "W",
    h: "h",
  },
};
