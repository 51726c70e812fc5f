// What the pond book says about looking for something in it.

const some = (/** @type {number} */ n, /** @type {string} */ one, /** @type {string} */ more) =>
  `${n} ${n === 1 ? one : more}`;

export const bookWords = {
  find: "Find",
  find_hint: "words, names, numbers: rinse drum, Aki, KH 5.5",
  narrow: "Narrow it down",
  nothing: "everything",
  group: "What",
  groups: {
    "": "everything", measured: "measured", done: "jobs", given: "given: buffer, food, salt",
    water: "water, power, cover", fish: "fish", kit: "kit: services, counters", changes: "changes",
    said: "notes and looks", settings: "settings", taken_back: "taken back", files: "brought in as files",
  },
  pond: "Pond",
  place: "Where",
  points: (/** @type {string} */ where) => `measured ${where}`,
  person: "Who",
  fish: "Fish",
  kit: "Kit",
  any: "any",
  since: "From",
  until: "To",
  since_says: (/** @type {string} */ day) => `from ${day}`,
  until_says: (/** @type {string} */ day) => `to ${day}`,
  order: "The last day is before the first.",
  clear: "Show everything",
  found: (/** @type {number} */ n) => (n === 0 ? "Nothing found" : `${some(n, "entry", "entries")} found`),
  so_far: (/** @type {string} */ day) => `, back to ${day}`,
  here_since: (/** @type {string} */ day) => `This device holds what was recorded since ${day}.`,
  look_back: "Look further back",
  look_at_home: "Look at home",
  looking: "Looking …",
  looked_to: (/** @type {string} */ day) => `Looked back to ${day}, nothing yet.`,
  beginning: "Nothing earlier is recorded.",
  beginning_found: "Nothing earlier fits.",
  at_home: (/** @type {string} */ why) => `${why} What is older is kept at home, and waits for signal.`,
  write_right: "write it right",
  files: "Values brought in as files are looked for at home.",
};
