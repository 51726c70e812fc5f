// The lines of the year by the month in which their work begins. No drawing here.
import { dayAndMonth } from "../../formats.js";
import { yearWords } from "../../words/year-words.js";

/** @typedef {import("../../domain/types.js").YearLine} YearLine */
/** @typedef {"done"|"now"|"ahead"|"missed"} WorkState */
/** @typedef {{line: YearLine, state: WorkState, span: string, done: string, last_year: string}} Work */
/** @typedef {{number: number, when: "over"|"now"|"ahead", works: Work[], ends: YearLine[]}} Month */

const MONTHS = Array.from({ length: 12 }, (_, n) => n + 1);
/** A season as long as this has no beginning one would look for. */
const WHOLE_YEAR_DAYS = 300;

/** @param {YearLine[]} lines @param {string} today @returns {{always: Work[], months: Month[]}} */
export function monthsOf(lines, today) {
  const days = (/** @type {YearLine} */ one) => (Date.parse(one.ends) - Date.parse(one.begins)) / 86400000;
  const works = [...lines].sort((a, b) => (a.begins < b.begins ? -1 : 1)).map((line) => workOf(line, today));
  const seasonal = works.filter(({ line }) => days(line) < WHOLE_YEAR_DAYS);
  const here = Number(today.slice(5, 7));
  return {
    always: works.filter(({ line }) => days(line) >= WHOLE_YEAR_DAYS),
    months: MONTHS.map((number) => ({
      number, when: number < here ? "over" : number === here ? "now" : "ahead",
      works: seasonal.filter(({ line }) => monthOf(line.begins) === number),
      ends: seasonal.map(({ line }) => line)
        .filter((line) => monthOf(line.ends) === number && monthOf(line.begins) !== number),
    })),
  };
}

/** @param {string} date */
function monthOf(date) {
  return Number(date.slice(5, 7));
}

/** @param {YearLine} line @param {string} today @returns {Work} */
function workOf(line, today) {
  const inside = line.begins <= today && today <= line.ends;
  const state = line.done.length > 0 ? "done" : inside ? "now" : today < line.begins ? "ahead" : "missed";
  const year = Number(today.slice(0, 4));
  return {
    line, state, span: yearWords.from_to(dayIn(line.begins, year), dayIn(line.ends, year)),
    done: datesWords(line.done, year), last_year: datesWords(line.last_year, year - 1),
  };
}

/** "3 Nov", "3 Nov 2027" where it is not the year that is spoken of. @param {string} date @param {number} year */
export function dayIn(date, year) {
  return Number(date.slice(0, 4)) === year ? dayAndMonth(date) : `${dayAndMonth(date)} ${date.slice(0, 4)}`;
}

/** "3 Nov", "3 Nov to 10 Nov", "7 times, 3 Nov to 21 Dec"; of very many home sends the first and the last.
 * @param {string[]} dates @param {number} year */
function datesWords(dates, year) {
  const sorted = [...dates].sort();
  const span = [sorted[0], sorted[sorted.length - 1]].filter(Boolean).map((one) => dayIn(one, year));
  if (sorted.length < 2 || span[0] === span[1]) return span[0] ?? "";
  return sorted.length === 2 ? yearWords.from_to(span[0], span[1]) : yearWords.times(sorted.length, span[0], span[1]);
}
