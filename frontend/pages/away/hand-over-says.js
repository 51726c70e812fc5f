// A hand-over in few words: where it stands, how long it is, who helps.
import { daysBetween } from "../../domain/civil.js";
import { daysOf, stageOf } from "../../domain/hand-overs.js";
import { shortDate } from "../../formats.js";
import { handOverWords } from "../../words/hand-over-words.js";

/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */

const W = handOverWords;

/** @param {HandOver} one @param {string} today @returns {string} */
export function stageWords(one, today) {
  const days = daysOf(one);
  const stage = stageOf(one, today);
  if (stage === "to_come") return W.stages.to_come(daysBetween(today, days[0] ?? today));
  if (stage === "runs") return W.stages.runs(days.indexOf(today) + 1, days.length);
  return W.stages[stage]();
}

/** @param {HandOver} one @returns {string} */
export function spanWords(one) {
  const days = daysOf(one);
  if (days.length < 2) return days.length === 1 ? W.one_day(shortDate(days[0])) : "";
  return W.span(shortDate(days[0]), shortDate(days[days.length - 1]), days.length);
}

/** @param {HandOver} one @returns {string} */
export function helperNames({ helpers }) {
  return helpers.map((one) => one.name).join(W.and);
}
