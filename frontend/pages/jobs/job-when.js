// When a standing job comes: its recurrence as fields, from fields, and in words; the season likewise.
import { number } from "../../formats.js";
import { whenWords } from "../../words/jobs-words.js";
import { shownQuantity, volumeUnit } from "../../units.js";
import { choiceOf, daysIn, ruleOf, ruleProblem, ruleWords } from "./job-rule.js";

/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../domain/types.js").Pond} Pond */
/** @typedef {import("../../domain/types.js").Plan} Plan */
/** @typedef {import("../../parts/form-values.js").Field} Field */
/** @typedef {StandingJob["recur"]} Recur */

const W = whenWords;
const RULES_BY = { nth: ["month_weekday", "year_weekday"], month_day: ["month_day", "year_day"],
  month: ["year_day", "year_weekday"], months: ["month_weekday", "month_day"] };

/** @param {string} every @param {string[]} [rules] @param {string} [of] */
const only = (every, rules, of) => (/** @type {Record<string, string>} */ texts) => texts.every === every
  && (!rules || rules.includes(texts.rule)) && (!of || texts.use_of === of);

/** @param {Plan} plan @param {Pond} pond @returns {Field[]} */
export function recurFields(plan, pond) {
  const { unit, per } = volumeUnit(pond);
  const kit = Object.fromEntries((pond.kit ?? []).map((one) => [one.id, one.name]));
  const measured = Object.fromEntries(plan.quantities.map((one) => [one.quantity, one.label]));
  return [
    { name: "every", label: W.every, options: W.choices },
    { name: "weekdays", label: W.weekdays, kind: "many", options: W.weekday_names, where: only("weekdays") },
    { name: "after_days", label: W.days_after, whole: true, low: 1, high: 400, required: true,
      where: only("after_done") },
    { name: "learned", label: W.learned, options: W.yes_no, where: only("after_done") },
    { name: "rule", label: W.rule, options: W.rules, where: only("rule") },
    { name: "nth", label: W.nth, options: W.nths, where: only("rule", RULES_BY.nth) },
    { name: "weekday", label: W.weekday, options: W.weekdays_long, where: only("rule", RULES_BY.nth) },
    { name: "month", label: W.month, options: W.months, where: only("rule", RULES_BY.month) },
    { name: "month_day", label: W.month_day, whole: true, low: 1, high: 31, required: true, hint: W.month_day_hint,
      where: only("rule", RULES_BY.month_day) },
    { name: "months_apart", label: W.months_apart, whole: true, low: 1, high: 60,
      where: only("rule", RULES_BY.months) },
    { name: "weeks_apart", label: W.weeks_apart, whole: true, low: 1, high: 52, where: only("rule", ["weeks"]) },
    { name: "rule_days", label: W.weekdays, kind: "many", options: W.weekdays_long, where: only("rule", ["weeks"]) },
    { name: "own_rule", label: W.own_rule, kind: "text", most: 200, required: true, hint: W.own_rule_hint,
      where: only("rule", ["own"]) },
    { name: "use_of", label: W.use, options: W.uses, where: only("use") },
    { name: "use_volume_l", label: W.amount, unit, per, low: Math.ceil(per), high: 100_000_000 * per, required: true,
      where: only("use", undefined, "volume_l") },
    { name: "use_hours", label: W.amount_hours, unit: "h", low: 1, high: 100_000, required: true,
      where: only("use", undefined, "hours") },
    { name: "use_readings", label: W.amount_readings, whole: true, low: 1, high: 10_000, required: true,
      where: only("use", undefined, "readings") },
    { name: "volume_kit", label: W.of_kit, options: { "": W.any_kit, ...kit },
      where: only("use", undefined, "volume_l") },
    { name: "hours_kit", label: W.of_kit, options: kit, required: true, where: only("use", undefined, "hours") },
    { name: "use_quantity", label: W.of_quantity, options: { "": W.any_quantity, ...measured },
      where: only("use", undefined, "readings") },
    { name: "rest_days", label: W.rest_days, whole: true, unit: W.days, low: 0, high: 400, required: true,
      where: only("when") },
  ];
}

/** @param {Recur} recur @param {Plan} plan @param {Pond} pond @returns {Record<string, any>} stored values by field */
export function recurValues(recur, plan, pond) {
  const first_kit = pond.kit?.[0]?.id ?? "";
  const begun = {
    every: recur.every, learned: "no", rule: "month_weekday", nth: "1", weekday: "SA", month: "1", month_day: 1,
    months_apart: 1, weeks_apart: 1, rule_days: ["SA"], use_of: "volume_l", volume_kit: "", hours_kit: first_kit,
    use_quantity: "", rest_days: 1, after_days: 7, weekdays: [],
  };
  if (recur.every === "after_done") {
    return { ...begun, after_days: recur.days, learned: recur.learned ? "yes" : "no" };
  }
  if (recur.every === "weekdays") return { ...begun, weekdays: recur.days };
  if (recur.every === "when") return { ...begun, rest_days: recur.rest_days ?? 1 };
  if (recur.every === "use") {
    return { ...begun, use_of: recur.of, [`use_${recur.of}`]: recur.amount, volume_kit: recur.kit ?? "",
      hours_kit: recur.kit ?? first_kit, use_quantity: recur.quantity ?? "" };
  }
  if (recur.every !== "rule") return begun;
  const { apart, weekdays, ...choice } = choiceOf(recur.rule);
  return { ...begun, ...choice, months_apart: apart ?? 1, weeks_apart: apart ?? 1, rule_days: weekdays ?? ["SA"] };
}

/** @param {Record<string, any>} values of the fields that are seen @returns {Recur} */
export function recurFrom(values) {
  const { every } = values;
  if (every === "after_done") {
    return { every, days: values.after_days, ...(values.learned === "yes" ? { learned: true } : {}) };
  }
  if (every === "weekdays") return { every, days: values.weekdays };
  if (every === "when") return { every, rest_days: values.rest_days };
  if (every === "rule") {
    const apart = (values.rule === "weeks" ? values.weeks_apart : values.months_apart) ?? 1;
    return { every, rule: ruleOf({ ...values, rule: values.rule, apart, weekdays: values.rule_days }) };
  }
  if (every !== "use") return { every: "day" };
  const { use_of } = values;
  const kit = use_of === "volume_l" ? values.volume_kit : use_of === "hours" ? values.hours_kit : "";
  const quantity = use_of === "readings" ? values.use_quantity : "";
  return { every, of: use_of, amount: values[`use_${use_of}`], ...(kit ? { kit } : {}),
    ...(quantity ? { quantity } : {}) };
}

/** By field, what no field alone can know. @param {Record<string, any>} values @returns {Record<string, string>} */
export function recurProblems(values) {
  if (values.every === "weekdays" && values.weekdays.length === 0) return { weekdays: W.weekdays_needed };
  if (values.every !== "rule") return {};
  if (values.rule === "weeks" && values.rule_days.length === 0) return { rule_days: W.weekdays_needed };
  if (values.rule === "year_day" && values.month_day > daysIn(Number(values.month))) {
    const months = /** @type {Record<string, string>} */ (W.months);
    return { month_day: W.no_such_day(months[values.month], daysIn(Number(values.month))) };
  }
  const wrong = ruleProblem(recurFrom(values).rule, values.starts_on);
  return wrong ? { [values.rule === "own" ? "own_rule" : "rule"]: wrong } : {};
}

/** "9 days after it was done" @param {Recur} recur @param {Plan} plan @param {Pond} pond */
export function recurWords(recur, plan, pond) {
  const days = /** @type {Record<string, string>} */ (W.weekday_names);
  const kit = (/** @type {string|null|undefined} */ id) =>
    pond.kit?.find((one) => one.id === id)?.name ?? id ?? W.any_kit;
  if (recur.every === "weekdays") {
    return W.says.weekdays((recur.days ?? []).map((/** @type {string} */ one) => days[one]).join(W.says.and));
  }
  if (recur.every === "after_done") return W.says.after_done(recur.days, recur.learned ?? false);
  if (recur.every === "rule") return ruleWords(recur.rule);
  if (recur.every === "when") return W.says.when(recur.rest_days ?? 1);
  if (recur.every !== "use") return W.says.day;
  if (recur.of === "hours") return W.says.hours(number(recur.amount), kit(recur.kit));
  if (recur.of === "readings") {
    return W.says.readings(number(recur.amount), shownQuantity(plan, pond.id, recur.quantity)?.label ?? "");
  }
  const { unit, per } = volumeUnit(pond);
  return W.says.volume_l(`${number(recur.amount * per, 0)} ${unit}`, kit(recur.kit));
}

const SEASON = [["from", W.season_from], ["to", W.season_to]];

/** @returns {Field[]} */
export function seasonFields() {
  const seen = (/** @type {Record<string, string>} */ texts) => texts.has_season === "yes";
  return [{ name: "has_season", label: W.season, options: W.yes_no }, ...SEASON.flatMap(([end, label]) => [
    { name: `${end}_month`, label, options: W.months, where: seen },
    { name: `${end}_day`, label: W.season_day, whole: true, low: 1, high: 31, required: true, where: seen }])];
}

/** @param {StandingJob["season"]} season */
export function seasonValues(season) {
  const { from, to } = season ?? { from: "10-01", to: "03-31" };
  const [months, days] = [[from, to].map((one) => String(Number(one.slice(0, 2)))),
    [from, to].map((one) => Number(one.slice(3)))];
  return { has_season: season ? "yes" : "no", from_month: months[0], from_day: days[0], to_month: months[1],
    to_day: days[1] };
}

/** @param {Record<string, any>} values @returns {StandingJob["season"]} */
export function seasonFrom(values) {
  if (values.has_season !== "yes") return null;
  const two = (/** @type {any} */ n) => String(n).padStart(2, "0");
  const [from, to] = ["from", "to"].map((end) => `${two(values[`${end}_month`])}-${two(values[`${end}_day`])}`);
  return { from, to };
}

/** @param {Record<string, any>} values @returns {Record<string, string>} */
export function seasonProblems(values) {
  if (values.has_season !== "yes") return {};
  const months = /** @type {Record<string, string>} */ (W.months);
  const wrong = ["from", "to"].find((end) => values[`${end}_day`] > daysIn(Number(values[`${end}_month`])));
  if (!wrong) return {};
  const month = values[`${wrong}_month`];
  return { [`${wrong}_day`]: W.no_such_day(months[month], daysIn(Number(month))) };
}

/** "15 November to 1 March" @param {StandingJob["season"]} season */
export function seasonWords(season) {
  if (!season) return "";
  const months = /** @type {Record<string, string>} */ (W.months);
  const [from, to] = [season.from, season.to]
    .map((one) => `${Number(one.slice(3))} ${months[String(Number(one.slice(0, 2)))]}`);
  return W.says.season(from, to);
}
