// Standing jobs as this device knows them, folded from its `set` entries as home folds them: by server order, what is
// not sent yet last, the last one of each field wins. So a keeper sees their own change at once, with no signal too.
import { withdrawnIds } from "./fold.js";

/** @typedef {import("./types.js").Seen} Seen */
/** @typedef {import("./types.js").StandingJob} StandingJob */

/** What a field is while nobody has set it; mirrors the server's domain/standing_job.py, which a test compares. */
export const PLAIN_JOB = Object.freeze({
  text: "A job", texts: {}, place: "At the water", recur: { every: "day" },
  windows: { day: { part: "midday", opens: "08:00", closes: "20:00" } }, season: null, only_if: [], after: [],
  shape: "plain", amount: null, asks: [], starts_on: null, serious: false, waits_days: 0, why: null, who: [],
  cautions: [], how: null, minutes: 2, order: 100, setting_c: null, service: null, kit: null, picture: null,
  active: true,
});

/** @typedef {{settings: Seen[], of: Map<string, Seen[]>}} Settled */
/** @type {WeakMap<Map<string, Seen>, Settled>} */
const known = new WeakMap();

/** Settings of standing jobs that stand, in the order in which they count; by "pond/job" too. The store never edits in
 * place, so this is worked out once for each state of it. @param {Map<string, Seen>} seen @returns {Settled} */
function settled(seen) {
  const before = known.get(seen);
  if (before) return before;
  const gone = withdrawnIds(seen.values());
  const settings = [...seen.values()]
    .filter(({ id, entry }) => entry.kind === "set" && entry.target?.startsWith("job/") && !gone.has(id))
    .sort((a, b) => (a.seq ?? Infinity) - (b.seq ?? Infinity) || Date.parse(a.at) - Date.parse(b.at)
      || (a.id < b.id ? -1 : 1));
  /** @type {Map<string, Seen[]>} */
  const of = new Map();
  for (const one of settings) {
    const key = `${one.entry.pond}/${one.entry.target?.slice("job/".length)}`;
    of.set(key, [...(of.get(key) ?? []), one]);
  }
  const found = { settings, of };
  known.set(seen, found);
  return found;
}

/** Every standing job of the pond as it holds on that day, those that are switched off too, in walking order.
 * @param {Map<string, Seen>} seen @param {string} pond its id @param {string} today civil date
 * @returns {StandingJob[]} */
export function standingJobs(seen, pond, today) {
  const jobs = [...settled(seen).of].filter(([key]) => key.startsWith(`${pond}/`)).map(([key, settings]) => {
    const holds = settings.filter(({ entry }) => !entry.effective_from || entry.effective_from <= today);
    const fields = Object.fromEntries(holds.map(({ entry }) => [entry.field, entry.value]));
    return /** @type {StandingJob} */ ({ ...PLAIN_JOB, ...fields, id: key.slice(pond.length + 1), pond });
  });
  return jobs.sort((a, b) => a.order - b.order || (a.id < b.id ? -1 : 1));
}

/** The settings of one standing job in the order in which they count, the last winning; of one field where it is named.
 * @param {Map<string, Seen>} seen @param {string} pond @param {string} id @param {string} [field] @returns {Seen[]} */
export function editsOf(seen, pond, id, field) {
  const all = settled(seen).of.get(`${pond}/${id}`) ?? [];
  return field ? all.filter(({ entry }) => entry.field === field) : all;
}

/** Later than any day a standing job holds from. */
const ANY_DAY = "9999-12-31";
/** @type {WeakMap<Map<string, Seen>, Record<string, Map<string, StandingJob>>>} */
const ever = new WeakMap();

/** Every standing job a pond ever had, as last set, by id; worked out once for each state of the store.
 * @param {Map<string, Seen>} seen @param {string} pond @returns {Map<string, StandingJob>} */
export function jobsEver(seen, pond) {
  const known = ever.get(seen) ?? {};
  ever.set(seen, known);
  known[pond] ??= new Map(standingJobs(seen, pond, ANY_DAY).map((one) => [one.id, one]));
  return known[pond];
}
