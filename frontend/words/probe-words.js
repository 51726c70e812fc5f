// What the page of probe keys says: in the script that comes later, beside it.

export const probeWords = {
  title: "Probe keys",
  hint: "A logger sends what it measures with a key of its own. A key opens nothing else, and can be revoked.",
  offline: "Keys are made and listed at home: this needs signal, and there is none.",
  keys: "Keys that open something",
  none: "None yet.",
  used: (when) => `last used ${when}`,
  unused: "never used",
  revoke: "revoke",
  revoked: (label) => `${label}: revoked. What it sent stays.`,
  new_key: "A new key",
  for_pond: (name) => `For ${name}.`,
  label: "What you call the logger",
  label_hint: "such as: logger in the filter house",
  may_send: "What it may send",
  one_series: "At least one thing it may send.",
  more: "More to send",
  make: "Make the key",
  made: (label) => `${label}: the key is made.`,
  once: "The key, shown this once",
  once_hint: "Put it into the logger now. Home keeps only a trace it is known by.",
  copy: "Copy the key",
  copied: "Copied",
  try_it: "To try it:",
  curl: (origin, token, series, at, value) => `curl ${origin}/api/probe \\
  -H "Authorization: Bearer ${token}" \\
  -d '{"samples": [{"series": "${series}", "at": "${at}Z", "value": ${value}}]}'`,
  back: "Back to Warmth",
  series: {
    water_c: "Water temperature, °C", air_c: "Air temperature outside, °C", house_c: "Air in the filter house, °C",
    house_humidity_fraction: "Humidity in the filter house, 0 to 1", heater_kwh: "Heater's meter, kWh",
    heater_w: "Heater's power, W", price_per_kwh: "Price of a kWh", humidity_fraction: "Humidity outside, 0 to 1",
    wind_m_per_s: "Wind, m/s", gust_m_per_s: "Gusts, m/s", cloud_fraction: "Cloud, 0 to 1",
    sun_w_per_m2: "Sun on a level surface, W/m²", rain_mm: "Rain, mm", snow_cm: "Fresh snow, cm",
  },
  examples: {
    water_c: 14.2, air_c: 6.5, house_c: 12.1, house_humidity_fraction: 0.78, heater_kwh: 1204.5, heater_w: 3000,
    price_per_kwh: 0.31, humidity_fraction: 0.85, wind_m_per_s: 3, gust_m_per_s: 8, cloud_fraction: 0.5,
    sun_w_per_m2: 120, rain_mm: 0.4, snow_cm: 2,
  },
};
