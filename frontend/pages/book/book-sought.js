// What is sought in the book: kept in the address, told in words, and found among what this device holds.
import { jobsEver } from "../../domain/standing-jobs.js";
import { isSought, plain, says, termsOf } from "../../domain/search.js";
import { shortDate } from "../../formats.js";
import { bookWords } from "../../words/book-words.js";
import { describe } from "../../parts/entry-line.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/search.js").Sought} Sought */

const W = bookWords;
/** Home alone knows which values came as files. */
export const FILES = "files";
/** @type {(keyof Sought)[]} */
const NAMES = ["text", "group", "pond", "place", "person", "fish", "kit", "since", "until"];
/** @type {Sought} */
export const EVERYTHING = Object.freeze({
  text: "", group: "", pond: "", place: "", person: "", fish: "", kit: "", since: "", until: "",
});

/** @param {URLSearchParams} query @returns {Sought} */
export function soughtFrom(query) {
  const told = NAMES.map((name) => [name, query.get(name) ?? ""]);
  return { ...EVERYTHING, ...Object.fromEntries(told) };
}

/** "?group=fish&fish=aki", or "" for everything. @param {Sought} sought */
export function queryOf(sought) {
  const told = NAMES.filter((name) => sought[name].trim()).map((name) => [name, sought[name].trim()]);
  return told.length > 0 ? `?${new URLSearchParams(told)}` : "";
}

/** Choices of each list, value -> words. @param {Plan} plan @param {Map<string, Seen>} seen
 * @returns {Record<"group"|"pond"|"place"|"person"|"fish"|"kit", Record<string, string>>} */
export function choicesOf(plan, seen) {
  const any = { "": W.any };
  const ponds = plan.ponds;
  const jobs = ponds.flatMap(({ id }) => [...jobsEver(seen, id).values()]);
  const places = [...ponds.flatMap((one) => one.places ?? []), ...jobs.map((one) => one.place),
    ...ponds.flatMap((one) => (one.kit ?? []).flatMap(({ place }) => place ?? []))];
  const points = Object.entries(words.water.points).map(([id, said]) => [`point/${id}`, W.points(said)]);
  const fish = (plan.fish ?? []).flatMap((page) => page.fish).map((one) => [one.id, one.name]);
  return {
    group: W.groups,
    pond: { ...any, ...Object.fromEntries(ponds.map((one) => [one.id, one.name])) },
    place: { ...any, ...Object.fromEntries([...[...new Set(places)].map((one) => [one, one]), ...points]) },
    person: { ...any, ...plan.person_names },
    fish: { ...any, ...Object.fromEntries(fish) },
    kit: { ...any, ...Object.fromEntries(ponds.flatMap((one) => (one.kit ?? []).map(({ id, name }) => [id, name]))) },
  };
}

/** What it is narrowed to, its words aside. @param {Sought} sought
 * @param {Record<string, Record<string, string>>} choices */
export function narrowedTo(sought, choices) {
  const chosen = Object.keys(choices).map((name) => {
    const value = sought[/** @type {keyof Sought} */ (name)];
    return value && (choices[name][value] ?? value);
  });
  return [...chosen, sought.since && W.since_says(shortDate(sought.since)),
    sought.until && W.until_says(shortDate(sought.until))].filter(Boolean).join(", ");
}

/** @type {WeakMap<Plan, WeakMap<Seen, string>>} */
const written = new WeakMap();

/** What an entry says, with who wrote it, for looking through. @param {Seen} one @param {Plan} plan
 * @param {Map<string, Seen>} seen */
function wordsOf(one, plan, seen) {
  const known = written.get(plan) ?? new WeakMap();
  written.set(plan, known);
  const found = known.get(one) ?? plain(`${describe(one, plan, seen)} ${plan.person_names[one.entry.author] ?? ""}`);
  known.set(one, found);
  return found;
}

/** Those of the entries that are sought. @param {Seen[]} entries @param {Sought} sought @param {Plan|null} plan
 * @param {Map<string, Seen>} seen @returns {Seen[]} */
export function soughtAmong(entries, sought, plan, seen) {
  if (!queryOf(sought) || !plan) return entries;
  if (sought.group === FILES) return [];
  const terms = termsOf(sought.text);
  const kit_places = Object.fromEntries(plan.ponds.flatMap((pond) => (pond.kit ?? [])
    .map(({ id, place }) => [`${pond.id}/${id}`, place])));
  return entries.filter((one) => {
    const { entry, on } = one;
    if ((sought.since && on < sought.since) || (sought.until && on > sought.until)) return false;
    const job = entry.standing_job ? jobsEver(seen, entry.pond).get(entry.standing_job) : undefined;
    return isSought(entry, sought, { job, kit_place: kit_places[`${entry.pond}/${entry.kit}`] })
      && (terms.length === 0 || says(wordsOf(one, plan, seen), terms));
  });
}
