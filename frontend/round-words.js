// What the round's own pages say: late, held back, water running, power out, days gone by and to come, the year.

const jobs = (/** @type {number} */ n) => `${n} ${n === 1 ? "job" : "jobs"}`;

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
};

export { jobs as jobCount };
