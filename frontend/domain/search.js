// What a keeper looks for in the book, among what this device holds. Home looks through the rest by the same rules
// (domain/book/search.py); tests/reference/book/search_cases.json holds both to one answer.

/** @typedef {import("./types.js").Entry} Entry */

/**
 * @typedef {object} Sought     all of what is told must hold; "" is not told
 * @property {string} text      each of its words or numbers is in the entry
 * @property {string} group     one of GROUPS
 * @property {string} pond
 * @property {string} place     of the walk, or "point/NAME" where something is measured
 * @property {string} person
 * @property {string} fish
 * @property {string} kit
 * @property {string} since     civil dates, both ends counted
 * @property {string} until
 */

/** Kinds of entries as a keeper tells them apart. @type {Record<string, string[]>} */
export const GROUPS = {
  measured: ["reading", "air_forecast", "start_up"],
  done: ["tick", "not_done"],
  given: ["dose", "feed", "salt", "tick"],
  water: ["water_change", "water_running", "power", "cover"],
  fish: ["fish_move", "fish_measure", "fish_seen"],
  kit: ["service", "meter"],
  changes: ["change"],
  said: ["note", "look"],
  settings: ["set"],
  taken_back: ["take_back"],
};

/** Small letters without accents or subscripts. @param {string} text */
export function plain(text) {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
}

/** @param {string} text what was typed @returns {string[]} term by term */
export function termsOf(text) {
  return plain(text).split(/\s+/).filter(Boolean);
}

/** Whether plain words hold every term: a number the same number, anything else as a part of the words.
 * @param {string} words @param {string[]} terms */
export function says(words, terms) {
  /** @type {Set<number>|null} */
  let numbers = null;
  return terms.every((term) => {
    const meant = meantBy(term);
    if (meant.length === 0) return words.includes(term);
    // A comma parts the thousands of a number in words.
    numbers ??= new Set([...words.matchAll(/(?:^|[^\w.,])(-?\d[\d,]*(?:\.\d+)?)/g)]
      .map(([, one]) => Number(one.replace(/,/g, ""))));
    const told = numbers;
    return meant.some((one) => told.has(one));
  });
}

/** What a typed number may be: of "774,900" a comma may part thousands, or stand for the decimal point; nothing where
 * it is no number. @param {string} term */
function meantBy(term) {
  const one = /^-?\d+([.,]\d+)?$/.test(term) ? [Number(term.replace(",", "."))] : [];
  return /^-?\d{1,3}(,\d{3})+(\.\d+)?$/.test(term) ? [...one, Number(term.replace(/,/g, ""))] : one;
}

/** @typedef {{place: string, kit: string|null}} Walked */

/** Whether an entry is what is sought, its words and its day aside.
 * @param {Entry} entry @param {Sought} sought
 * @param {{job: Walked|undefined, kit_place: string|null|undefined}} of   the entry's job, and where its kit stands */
export function isSought(entry, { group, pond, place, person, fish, kit }, { job, kit_place }) {
  const { kind, target } = entry;
  if (group && !GROUPS[group]?.includes(kind)) return false;
  if (group === "given" && kind === "tick" && !entry.amount_g && !entry.feed_g) return false;
  if ((pond && entry.pond !== pond) || (person && entry.author !== person)) return false;
  const of_fish = typeof entry.fish === "string" ? [entry.fish] : entry.fish ?? [];
  if (fish && !of_fish.includes(fish) && target !== `fish/${fish}`) return false;
  if (kit && entry.kit !== kit && target !== `kit/${kit}` && job?.kit !== kit) return false;
  if (place.startsWith("point/")) return kind === "reading" && (entry.point ?? "pond") === place.slice("point/".length);
  return !place || job?.place === place || kit_place === place;
}
