// What the round's own pages say: late, held back, water running, power out, days gone by and to come, the year.

export const roundWords = {
  waits: (/** @type {string} */ until) => `can wait until ${until}`,
  late: (/** @type {string} */ at) => `late since ${at}`,
  matters: (/** @type {string} */ at) => `late since ${at}, and it matters`,
  late_part: "Late",
  late_hint: "what matters most comes first",
  not_known: "not known",
  measure: "Measure it",
  all_the_same: "done all the same",
  whose: (/** @type {string} */ names) => `for ${names}`,
  you: "you",
  and: (/** @type {string[]} */ names) => [names.slice(0, -1).join(", "), names[names.length - 1]]
    .filter(Boolean).join(" and "),
  fed: "Fed",
  grams_fed: "Grams fed",
  feed_done: (/** @type {string} */ job, /** @type {string} */ grams) => `${job}: ${grams} g fed`,

  load: { light: "a light day", usual: "", heavy: "a heavy day" },
  slips: (/** @type {string} */ what) => `Can slip: ${what}.`,
  slip: (/** @type {string} */ what, /** @type {string} */ until) => `${what} (until ${until})`,

  heavy: "heavy",
  done: (/** @type {number} */ n) => `${n} done`,
  missed: (/** @type {number} */ n) => `${n} missed`,
  also_recorded: "Also recorded",
  year: "The year on one page",
  year_hint: "seasonal work, and when it was done last year",

  water_runs: "Water running",
  water_on: "Water on",
  water_on_hint: "a clock runs on every screen until it is shut",
  dechlorinated: "dechlorinated",
  not_dechlorinated: "not dechlorinated",
  from_where: (/** @type {boolean|null} */ dechlorinated) => (dechlorinated === null ? ""
    : dechlorinated ? "Dechlorinated." : "Not dechlorinated: dechlorinator now, by its label."),
  serious_after: (/** @type {number} */ min) => `Serious after ${min} min.`,
  water_serious: (/** @type {number} */ min) => `Act now: it has run for over ${min} minutes. Shut it.`,
  shut: "Shut",
  runs_already: "It runs: its clock is at the top.",
  water_opened: "Water on: the clock runs",
  water_shut: (/** @type {string} */ lasted) => `Water shut after ${lasted}`,

  power_out: "Power is out",
  power_out_hint: "air first, no feed",
  power_is_back: "Power is back",
  power_back: (/** @type {string} */ lasted) => `Power is back after ${lasted}`,
  since: (/** @type {string} */ at) => `since ${at}`,
  first_steps: "First steps",
  whom_to_ring: "whom to ring",
  until_looked: "This stays until you have looked and all is well.",
  rinse: "A filter without flow over an hour or two: drain and rinse it before it runs into the pond (common "
    + "practice).",
  power_out_steps: ["Air first: the battery air pump, or pour water from a bucket held high.", "No feed.",
    "Touch nothing wet and electrical."],
  power_back_steps: ["Air and pumps run? Then look at the flow, the level and the fish.",
    "Set time switches and the heater's thermostat right.", "No feed today; test TAN and nitrite tomorrow."],
};
