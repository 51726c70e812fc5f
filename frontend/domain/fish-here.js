// The fish of a pond as they stand on this device: home's own list, with what was recorded here since laid over it.
import { standingOf, withdrawnIds } from "./fold.js";

/** @typedef {import("./types.js").Seen} Seen */
/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./fish-types.js").FishState} FishState */
/** @typedef {import("./fish-types.js").MeasureLine} MeasureLine */

/** A fish that home has not spoken of. @param {string} id @param {string} pond @returns {FishState} */
function unheardOf(id, pond) {
  return {
    id, set_at: pond, name: id, variety: null, born_year: null, sex: null, origin: null, marks: null, picture: null,
    count: 1, came_on: null, here: 1, gone: null, gone_on: null, quarantine: false, measures: [], weight_g: null,
    length_total_cm: null, condition: null, condition_says: null, growth: [], curve: null, says: "", stands_out: null,
    seen: [], photos: [], expect_length_cm: null, expect_length_is: null, expect_weight_g: null, workings: null,
    unsent: true,
  };
}

/** Every fish of the pond, those gone last; the same list as long as nothing changed.
 * @param {Plan|null} plan @param {Map<string, Seen>} seen @param {string} pond @returns {FishState[]} */
export function fishHere(plan, seen, pond) {
  const known = (plan?.fish ?? []).flatMap((page) => page.fish.map((fish) => ({ fish, pond: page.pond })));
  const sets = settingsOf(seen);
  const here = known.filter((one) => one.pond === pond).map(({ fish }) => fish);
  const heard = new Set(known.map(({ fish }) => fish.id));
  const fresh = [...sets].filter(([id, told]) => !heard.has(id) && told.pond === pond)
    .map(([id]) => unheardOf(id, pond));
  const facts = standingOf(seen).filter(({ entry }) => entry.kind.startsWith("fish_"));
  const moved = facts.filter((one) => isNews(one, plan) && one.entry.kind === "fish_move");
  // One that was moved here on this device, and home does not know it yet.
  const coming = known.filter((one) => one.pond !== pond
    && moved.some(({ entry }) => entry.to_pond === pond && entry.fish?.includes(one.fish.id)))
    .map(({ fish }) => ({ ...fish, here: 0 }));
  return [...here, ...fresh, ...coming.filter((one) => !here.some(({ id }) => id === one.id))]
    .map((fish) => ({ ...fish, ...sets.get(fish.id)?.fields }))
    .filter((fish) => !(/** @type {any} */ (fish)).closed)
    .map((fish) => withCount(fish, sets.get(fish.id)?.fields))
    .map((fish) => moved.reduce((one, { entry }) => withMove(one, entry, pond), fish))
    .map((fish) => withPhotos(withMeasures(fish, facts), facts))
    .sort((a, b) => Number(a.here === 0) - Number(b.here === 0));
}

/** Those taken off the pond's list, by home or on this device, and not put back.
 * @param {Plan|null} plan @param {Map<string, Seen>} seen @param {string} pond
 * @returns {{id: string, name: string}[]} */
export function closedHere(plan, seen, pond) {
  const sets = settingsOf(seen);
  const page = plan?.fish?.find((one) => one.pond === pond);
  const known = [...page?.closed ?? [], ...page?.fish ?? []];
  const names = new Map(known.map(({ id, name }) => [id, name]));
  const fresh = [...sets].filter(([id, told]) => told.fields.closed && (names.has(id) || told.pond === pond));
  const ids = new Set([...(page?.closed ?? []).map(({ id }) => id), ...fresh.map(([id]) => id)]);
  return [...ids].filter((id) => sets.get(id)?.fields.closed !== false)
    .map((id) => ({ id, name: sets.get(id)?.fields.name ?? names.get(id) ?? id }));
}

/** Whether home's list may not hold it yet. @param {Seen} one @param {Plan|null} plan */
function isNews({ seq }, plan) {
  return seq === null || seq > (plan?.log_seq ?? 0);
}

/** What was set of each fish, in the order home has it, what is unsent last.
 * @param {Map<string, Seen>} seen @returns {Map<string, {pond: string, fields: Record<string, any>}>} */
function settingsOf(seen) {
  const all = [...seen.values()].filter(({ entry }) => entry.kind === "set" && entry.target?.startsWith("fish/"));
  if (all.length === 0) return new Map();
  const gone = withdrawnIds(seen.values());
  const order = (/** @type {Seen} */ one) => one.seq ?? Infinity;
  const at = (/** @type {Seen} */ one) => Date.parse(one.entry.recorded_at);
  const sorted = all.filter((one) => !gone.has(one.id))
    .sort((a, b) => (order(a) === order(b) ? at(a) - at(b) : order(a) - order(b)));
  /** @type {Map<string, {pond: string, fields: Record<string, any>}>} */
  const found = new Map();
  for (const { entry } of sorted) {
    const id = (entry.target ?? "").slice("fish/".length);
    const before = found.get(id);
    const fields = { ...before?.fields, [entry.field ?? ""]: entry.value };
    found.set(id, { pond: before?.pond ?? entry.pond, fields });
  }
  return found;
}

/** Of one home has not spoken of, all of it is here.
 * @param {FishState} fish @param {Record<string, any>|undefined} set */
function withCount(fish, set) {
  return fish.unsent && set?.count ? { ...fish, here: set.count } : fish;
}

/** @param {FishState} fish @param {import("./types.js").Entry} move @param {string} pond @returns {FishState} */
function withMove(fish, { fish: ids, from_pond, to_pond, count = 1, how, local_date, quarantine }, pond) {
  if (!ids?.includes(fish.id)) return fish;
  const many = ids.length === 1 ? Math.min(count, fish.count) : fish.count;
  if (to_pond === pond) {
    return { ...fish, here: Math.min(fish.count, fish.here + many), gone: null, quarantine: !!quarantine };
  }
  const here = from_pond === pond ? Math.max(0, fish.here - many) : fish.here;
  if (here > 0 || fish.here === 0) return { ...fish, here };
  const gone = how === "sold" || how === "given" || how === "died" ? how : "left";
  return { ...fish, here, gone, gone_on: local_date };
}

/** Newest first; what is older than all that home shows, it left out itself.
 * @param {FishState} fish @param {Seen[]} facts oldest first @returns {FishState} */
function withMeasures(fish, facts) {
  const told = new Set(fish.measures.map((one) => one.entry));
  const oldest = fish.measures[fish.measures.length - 1]?.on ?? "";
  const fresh = facts.filter((one) => isLengthOf(fish.id, one) && !told.has(one.id) && one.on >= oldest);
  if (fresh.length === 0) return fish;
  return { ...fish, measures: [...fresh.map(lineOf).reverse(), ...fish.measures] };
}

/** Newest first, as home orders them. @param {FishState} fish @param {Seen[]} facts oldest first
 * @returns {FishState} */
function withPhotos(fish, facts) {
  const told = new Set((fish.photos ?? []).map((one) => one.sum));
  const fresh = facts.filter(({ entry }) => (entry.kind === "fish_measure" && entry.fish === fish.id)
    || (entry.kind === "fish_seen" && entry.fish?.length === 1 && entry.fish[0] === fish.id))
    .flatMap(({ on, entry }) => (entry.photos ?? []).map((sum) => ({ sum, on }))).filter(({ sum }) => !told.has(sum));
  if (fresh.length === 0) return fish;
  const all = [...fresh.reverse(), ...fish.photos ?? []];
  return { ...fish, photos: all.sort((a, b) => Number(a.on < b.on) - Number(b.on < a.on)) };
}

/** @param {string} id @param {Seen} one */
function isLengthOf(id, { entry }) {
  return entry.kind === "fish_measure" && entry.fish === id
    && (typeof entry.length_cm === "number" || typeof entry.weight_g === "number");
}

/** A measure as this device has it: what home makes of it is still to come. @param {Seen} one @returns {MeasureLine} */
function lineOf({ id, on, entry }) {
  const grams = typeof entry.weight_g === "number" ? entry.weight_g : null;
  return {
    entry: id, on, session: entry.session ?? null, length_cm: entry.length_cm ?? null,
    length_is: entry.length_is ?? null, length_total_cm: null, weighed: grams !== null,
    weight_g: grams === null ? null : { low: grams, middle: grams, high: grams }, condition: null, doubts: [],
    counts: true,
  };
}
