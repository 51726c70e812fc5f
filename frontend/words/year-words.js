// What the year on one page says.

export const yearWords = {
  title: (/** @type {string} */ year) => `The year ${year}`,
  hint: "seasonal work, by the month it begins in",
  print: "Print",
  told: "The water's year, and the season told back",
  back: "Back to the round",
  none: "Nothing of the year is known here yet. It comes with the standing jobs that have a season.",
  always: "All year",
  months: ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December"],
  now: "now",
  from_to: (/** @type {string} */ begins, /** @type {string} */ ends) =>
    (begins === ends ? begins : `${begins} to ${ends}`),
  ends: (/** @type {string[]} */ what) => `Ends: ${what.join(", ")}`,
  done: (/** @type {string} */ when) => `done ${when}`,
  last_year: (/** @type {string} */ when) => `last year ${when}`,
  times: (/** @type {number} */ n, /** @type {string} */ first, /** @type {string} */ last) =>
    `${n} times, ${first} to ${last}`,
  states: { done: "", now: "its time is now", ahead: "", missed: "not done this time" },
};
