// What was set, as the book tells it: a job's own fields in the sentences of its form, all else by its name and unit.
import { jobsEver } from "../../domain/standing-jobs.js";
import { number, shortDate } from "../../formats.js";
import { settingWords as W } from "../../words/setting-words.js";
import { shownQuantity, shownValue, volumeUnit } from "../../units.js";
import { words } from "../../words.js";
import { fieldWords } from "../jobs/job-edits.js";

/** @typedef {import("../../domain/types.js").Entry} Entry */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../domain/types.js").Pond} Pond */

/** Temperatures one reads on a thermometer; a step of so many degrees is none. */
const LEVELS_C = new Set(["setting_c", "warm_low_c", "warm_high_c", "season_floor_c", "feed_floor_c", "from_c", "to_c",
  "temperature_c"]);

/** A setting in words; nothing where it is told better elsewhere.
 * @param {Entry} entry @param {Plan|null} plan @param {Map<string, Seen>} seen @returns {string|null} */
export function settingSays(entry, plan, seen) {
  const { target = "", field = "", value } = entry;
  const pond = plan?.ponds.find((one) => one.id === entry.pond);
  if (!plan || !pond) return null;
  const [of, id = ""] = target.split("/");
  const from = entry.effective_from ? W.from(shortDate(entry.effective_from)) : "";
  if (of === "job") {
    const names = Object.fromEntries([...jobsEver(seen, pond.id)].map(([job, { text }]) => [job, text]));
    return W.said(names[id] ?? named(id), label(W.job, field), jobValue(field, value, plan, pond, names)) + from;
  }
  if (of === "kit") {
    const name = pond.kit?.find((one) => one.id === id)?.name ?? named(id);
    return W.said(name, label(W.kit, field), valueSays(field, value, plan, pond)) + from;
  }
  if (of === "range") {
    const known = shownQuantity(plan, pond.id, id);
    const said = known && typeof value === "number" ? shownValue(known, value) : valueSays(field, value, plan, pond);
    return W.said(known?.label ?? named(id), label(W.range, field), said) + from;
  }
  if (of !== "pond") return null;
  return W.said("", label(W.pond, field), valueSays(field, value, plan, pond)) + from;
}

/** @param {string} field @param {any} value @param {Plan} plan @param {Pond} pond
 * @param {Record<string, string>} names @returns {string} */
function jobValue(field, value, plan, pond, names) {
  try {
    return fieldWords(field, value, plan, pond, names);
  } catch {
    // A form of it that this version does not know.
    return valueSays(field, value, plan, pond);
  }
}

/** "warm-side_up" -> "Warm side up" @param {string} id */
export function named(id) {
  const text = id.replace(/[-_]/g, " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param {Record<string, string>} labels @param {string} field */
function label(labels, field) {
  return labels[field] ?? withoutUnit(field);
}

/** "length_m" -> "length" @param {string} field */
function withoutUnit(field) {
  const unit = unitOf(field);
  return (unit ? field.slice(0, -unit.length - 1) : field).replace(/_/g, " ");
}

/** The ending of a name that is a unit. @param {string} field @returns {string|undefined} */
function unitOf(field) {
  return Object.keys(W.units).find((one) => field.endsWith(`_${one}`));
}

/** A value, in the keeper's units where its name tells one.
 * @param {string} field @param {any} value @param {Plan} plan @param {Pond} pond @returns {string} */
function valueSays(field, value, plan, pond) {
  if (value === null || value === undefined || value === "" || value.length === 0) return words.kinds.nothing;
  if (typeof value === "boolean") return W.yes_no[value ? "yes" : "no"];
  if (typeof value === "number") return numberSays(field, value, plan, pond);
  if (typeof value === "string") return /^\d{4}-\d\d-\d\d$/.test(value) ? shortDate(value) : wordOf(field, value, plan);
  if (Array.isArray(value)) {
    const told = value.map((one) => valueSays(field, one, plan, pond));
    return told.join(value.some((one) => typeof one === "object") ? "; " : ", ");
  }
  return Object.entries(value).filter(([, one]) => one !== null && one !== "" && one?.length !== 0)
    .map(([name, one]) => (name === "name" ? String(one)
      : `${withoutUnit(name)} ${valueSays(name, one, plan, pond)}`)).join(", ");
}

/** A person by name, a choice without its underscores.
 * @param {string} field @param {string} value @param {Plan} plan */
function wordOf(field, value, plan) {
  if (field === "on_duty" || field === "who") return plan.person_names[value] ?? value;
  return /^[a-z0-9_]+$/.test(value) ? value.replace(/_/g, " ") : value;
}

/** @param {string} field @param {number} value @param {Plan} plan @param {Pond} pond */
function numberSays(field, value, plan, pond) {
  if (LEVELS_C.has(field)) {
    const degrees = shownQuantity(plan, pond.id, "temperature_c");
    if (degrees) return shownValue(degrees, value);
  }
  const quantity = field.endsWith("_dkh") && shownQuantity(plan, pond.id, "kh_dkh");
  if (quantity) return shownValue(quantity, value);
  const unit = unitOf(field);
  if (!unit) return number(value);
  if (unit === "fraction") return `${number(Number((value * 100).toPrecision(4)))} %`;
  if (unit === "l" || unit === "l_per_day") {
    const volume = volumeUnit(pond);
    const much = number(Number((value * volume.per).toPrecision(6)));
    return `${much} ${volume.unit}${unit === "l" ? "" : W.a_day}`;
  }
  return `${number(value)} ${/** @type {Record<string, string>} */ (W.units)[unit]}`;
}
