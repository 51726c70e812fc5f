// One entry on one line: what it says, when, by whom, where it stands; and its own way to take it back.
import { html, classes, steady, useMemo } from "../ui.js";
import { jobsEver } from "../domain/standing-jobs.js";
import { amount, dayAndMonth, number, shortDate, when } from "../formats.js";
import { takeBack } from "../record.js";
import { roundWords } from "../words/round-words.js";
import { usePicked } from "../store.js";
import { shownQuantity, shownValue, volumeUnit } from "../units.js";
import { words } from "../words.js";
import { PhotoStrip } from "./photo-strip.js";

/** @typedef {import("../domain/types.js").Seen} Seen */
/** @typedef {import("../domain/types.js").Plan} Plan */

/** How often it is looked whether today has become yesterday. */
const AT_LEAST_MS = 60_000;

/** `about`: entries this device does not hold, which one here may speak of.
 * @param {{one: Seen, now_ms: number, withdrawn?: boolean, about?: Map<string, Seen>, children?: any}} props */
export function EntryLine({ one, now_ms, withdrawn = false, about, children }) {
  const { entry } = one;
  const [plan, seen, me, deferred, waiting] = usePicked((now) => [
    now.plan, about ?? now.seen, now.person, now.deferred.has(one.id), now.waiting.has(one.id)]);
  const text = useMemo(() => describe(one, plan, seen), [one, plan, seen]);
  const who = entry.author === me?.id ? "" : plan?.person_names[entry.author] ?? "";
  const stands = deferred ? words.book.deferred : waiting ? words.book.waiting : "";
  // A page of these is drawn anew with every key and every photo; most of them say what they said before.
  const at = useMemo(() => when(one.at, entry.zone, now_ms), [one, Math.floor(now_ms / AT_LEAST_MS)]);
  return html`<${Line} ...${{ one, text, who, stands, me, at, withdrawn, children }} />`;
}

const Line = steady(({ one, text, who, stands, me, at, withdrawn, children }) => html`
  <li class=${classes("entry-line", withdrawn && "withdrawn")}>
    <div class="entry-what">
      <p>${withdrawn ? html`<s>${text}</s>` : text}</p>
      <p class="quiet">${[at, who, withdrawn && words.book.taken_back, stands].filter(Boolean).join(" · ")}</p>
    </div>
    ${!withdrawn && me && html`<button type="button" class="text-button"
      aria-label=${`${words.card.take_back}: ${text}`}
      onClick=${() => takeBack(one, words.kinds.take_back(text))}>${words.card.take_back}</button>`}
    ${one.entry.photos && !withdrawn && html`<${PhotoStrip} sums=${one.entry.photos} />`}
    ${children}
  </li>`);

/** "cover-on" -> "Cover on", when the plan does not name the job. @param {string} id */
function plainName(id) {
  const text = id.replace(/[-_]/g, " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @type {WeakMap<Plan, Map<string, string>>} */
const planned = new WeakMap();

/** Names of the plan's jobs by "pond/job" and "pond/job/slot", worked out once for each plan. @param {Plan} plan */
function plannedNames(plan) {
  const known = planned.get(plan);
  if (known) return known;
  /** @type {Map<string, string>} */
  const names = new Map();
  for (const { pond, standing_job, slot, name } of plan.days.flatMap((day) => day.jobs).reverse()) {
    names.set(`${pond}/${standing_job}`, name);
    names.set(`${pond}/${standing_job}/${slot}`, name);
  }
  planned.set(plan, names);
  return names;
}

/** As the plan names it, else as it was set.
 * @param {Entry} entry @param {Plan|null} plan @param {Map<string, Seen>} seen */
function jobName({ pond, standing_job = "", slot = "" }, plan, seen) {
  const names = plan && plannedNames(plan);
  const found = names?.get(`${pond}/${standing_job}/${slot}`) ?? names?.get(`${pond}/${standing_job}`);
  if (found) return found;
  const job = jobsEver(seen, pond).get(standing_job);
  return job?.texts[slot] ?? job?.text ?? plainName(standing_job);
}

/** "68 g (2½ capfuls)" @param {number} grams @param {string} pond @param {Plan|null} plan */
function muchOf(grams, pond, plan) {
  const { big, small } = amount(grams, plan?.ponds.find((one) => one.id === pond)?.capful_g ?? null);
  return small ? `${big} (${small})` : big;
}

/** @param {string} service */
function serviceName(service) {
  return /** @type {Record<string, string>} */ (words.kinds.services)[service] ?? plainName(service);
}

/** @typedef {import("../domain/types.js").Entry} Entry */
/** @typedef {(entry: Entry, plan: Plan|null, seen: Map<string, Seen>) => string|null} Tell */

/** @type {Tell} */
let tellSetting = () => null;

/** The pages that set things know how to say it. @param {Tell} tell nothing where it has no words for it */
export function giveSettingWords(tell) {
  tellSetting = tell;
}

/** @param {Entry} entry @param {Plan|null} plan */
function kitName({ pond, kit = "" }, plan) {
  const here = plan?.ponds.find((one) => one.id === pond);
  return here?.kit?.find((one) => one.id === kit)?.name ?? plainName(kit);
}

/** @param {any} value @returns {string} */
function settingWords(value) {
  if (Array.isArray(value)) return value.map(settingWords).join("; ");
  if (typeof value !== "object" || value === null) return String(value ?? words.kinds.nothing);
  return Object.entries(value).filter(([, one]) => one !== null && one?.length !== 0)
    .map(([name, one]) => `${plainName(name).toLowerCase()} ${settingWords(one)}`).join(", ");
}

/** What was set of a hand-over: in full where it is a word or a date, else which part.
 * @param {import("../domain/types.js").Entry} entry */
function handOverSays({ field, value }) {
  const name = plainName(field ?? "").toLowerCase();
  return typeof value === "string" ? words.kinds.set(name, value) : name;
}

/** Names of fish, as the plan has them, or as they were given here since.
 * @param {string[]|undefined} ids @param {Plan|null} plan @param {Map<string, Seen>} seen */
function fishNames(ids, plan, seen) {
  const known = (plan?.fish ?? []).flatMap((one) => [...one.fish, ...one.closed ?? []]);
  const given = (/** @type {string} */ id) => [...seen.values()]
    .find(({ entry }) => entry.target === `fish/${id}` && entry.field === "name")?.entry.value;
  return (ids ?? []).map((id) => known.find((one) => one.id === id)?.name ?? given(id) ?? plainName(id)).join(", ");
}

/** @typedef {(entry: import("../domain/types.js").Entry, plan: Plan|null, seen: Map<string, Seen>) => string} Say */

/** @type {Record<string, Say>} */
const KINDS = {
  tick(entry, plan, seen) {
    const job = jobName(entry, plan, seen);
    const why = entry.override_reason ? ` (${words.kinds.override(entry.override_reason)})` : "";
    const much = typeof entry.amount_g === "number" ? muchOf(entry.amount_g, entry.pond, plan) : "";
    if (much) return words.kinds.tick_dose(job, much) + why;
    if (typeof entry.feed_g === "number") {
      const eaten = entry.appetite ? `, ${words.kinds.appetites[entry.appetite]}` : "";
      return roundWords.feed_done(job, number(entry.feed_g)) + eaten + why;
    }
    if (typeof entry.setting_c === "number") return words.kinds.tick_setting(job, number(entry.setting_c)) + why;
    return words.kinds.tick(job) + why;
  },
  dose: (entry, plan) => words.kinds.dose(muchOf(entry.amount_g ?? 0, entry.pond, plan)),
  not_done: (entry, plan, seen) => words.kinds.not_done(jobName(entry, plan, seen), entry.reason ?? ""),
  reading(entry, plan) {
    const points = /** @type {Record<string, string>} */ (words.water.points);
    const where = entry.point && entry.point !== "pond" ? `, ${points[entry.point] ?? entry.point}` : "";
    const known = shownQuantity(plan, entry.pond, entry.quantity);
    if (!known) return words.kinds.reading(plainName(entry.quantity ?? ""), number(entry.value), where);
    return words.kinds.reading(known.label, shownValue(known, entry.value), where);
  },
  look(entry, plan) {
    if (entry.all_well) return words.kinds.all_well;
    const trouble = plan?.troubles.find((one) => one.id === entry.trouble)?.title ?? plainName(entry.trouble ?? "");
    return words.kinds.wrong([trouble, ...(entry.wrong ?? []), entry.text].filter(Boolean).join(", "));
  },
  note: (entry) => entry.text ?? "",
  water_change(entry, plan) {
    const { unit, per } = volumeUnit(plan?.ponds.find((one) => one.id === entry.pond));
    const volume = (entry.volume_l ?? 0) * per;
    return words.kinds.water_change(`${number(volume, per === 1 ? undefined : 0)} ${unit}`, entry.point ?? "mains");
  },
  feed: (entry) => words.kinds.feed(number(entry.feed_g ?? 0)),
  salt: (entry) => words.kinds.salt(number(entry.salt_g ?? 0)),
  service: (entry, plan) => {
    const name = entry.kit ? kitName(entry, plan) : "";
    return words.kinds.service(serviceName(entry.service ?? ""), name, entry.text ?? "");
  },
  start_up: (entry) => words.kinds.start_up(entry.steps?.length ?? 0),
  cover: (entry) => words.kinds.cover(Math.round((entry.covered_fraction ?? 0) * 100)),
  air_forecast(entry, plan) {
    const known = shownQuantity(plan, entry.pond, "air_temperature_c");
    const say = (/** @type {number} */ c) => (known ? shownValue(known, c) : `${number(c)} °C`);
    return words.kinds.air_forecast(dayAndMonth(entry.on ?? entry.local_date), say(entry.low_c ?? NaN),
      typeof entry.high_c === "number" ? say(entry.high_c) : "");
  },
  meter(entry, plan) {
    const { unit, per } = volumeUnit(plan?.ponds.find((one) => one.id === entry.pond));
    const shows = [typeof entry.hours === "number" && `${number(entry.hours)} h`, typeof entry.volume_l === "number"
      && `${number(entry.volume_l * per, per === 1 ? undefined : 0)} ${unit}`].filter(Boolean).join(", ");
    return words.kinds.meter(kitName(entry, plan), shows);
  },
  change: (entry) => words.kinds.change(entry.text ?? ""),
  water_running: (entry) => (entry.running ? words.kinds.water_on : words.kinds.water_off),
  power: (entry) => (entry.on ? words.kinds.power_back : words.kinds.power_out),
  fish_move(entry, plan, seen) {
    const name = (/** @type {string} */ id) => plan?.ponds.find((one) => one.id === id)?.name ?? id;
    const { from_pond, to_pond } = entry;
    const where = !from_pond ? words.kinds.fish_in : !to_pond ? words.kinds.fish_out
      : to_pond === entry.pond ? words.kinds.fish_from(name(from_pond)) : words.kinds.fish_to(name(to_pond));
    const gone = words.kinds.fish_gone[entry.how ?? ""];
    const who = fishNames(entry.fish, plan, seen) || `${entry.count ?? 0} fish`;
    return words.kinds.fish_move(who, gone ?? where);
  },
  fish_measure(entry, plan, seen) {
    const long = typeof entry.length_cm === "number"
      && words.kinds.length(number(entry.length_cm), entry.length_is === "standard");
    const found = (entry.found ?? []).map((one) => `${one.where}: ${one.text}`);
    const says = [long, typeof entry.weight_g === "number" && `${number(entry.weight_g)} g`, ...found, entry.text];
    return words.kinds.fish_measure(fishNames([entry.fish], plan, seen), says.filter(Boolean).join(", "));
  },
  fish_seen(entry, plan, seen) {
    const signs = (entry.signs ?? []).map((one) => words.kinds.signs[one] ?? plainName(one).toLowerCase());
    const what = [...signs, entry.text].filter(Boolean).join(", ");
    return words.kinds.fish_seen(fishNames(entry.fish, plan, seen), what);
  },
  set(entry, plan, seen) {
    if (entry.target?.startsWith("hand-over/")) return words.kinds.set_hand_over(handOverSays(entry));
    const told = tellSetting(entry, plan, seen);
    if (told) return told;
    const fish = entry.target?.startsWith("fish/") ? fishNames([entry.target.slice(5)], plan, seen) : "";
    const of = entry.target === "pond" ? "" : `${fish || plainName((entry.target ?? "").replace(/^.*[/]/, ""))}, `;
    const from = entry.effective_from ? ` from ${shortDate(entry.effective_from)}` : "";
    const field = plainName(entry.field ?? "").toLowerCase();
    return words.kinds.set(of ? of + field : plainName(entry.field ?? ""), settingWords(entry.value)) + from;
  },
  take_back(entry, plan, seen) {
    const target = seen.get(entry.entry ?? "");
    return target ? words.kinds.take_back(describe(target, plan, seen)) : words.kinds.take_back_unknown;
  },
};

/** @param {Seen} one @param {Plan|null} plan @param {Map<string, Seen>} seen @returns {string} */
export function describe(one, plan, seen) {
  const say = one.entry.v === 1 && KINDS[one.entry.kind];
  return say ? say(one.entry, plan, seen) : words.book.unknown(one.entry.kind);
}
