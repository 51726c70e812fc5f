// From when to when a report may tell, by today's date; what is wrong with a span is said by the name of its words.
import { addDays, daysBetween } from "./civil.js";

/** As the server's domain/report/span.py. */
export const MOST_DAYS = 366;

/** The spans on offer, each the latest that has begun. @param {string} today
 * @returns {Record<"year"|"months"|"summer"|"winter", [string, string]>} */
export function spansOf(today) {
  const year = Number(today.slice(0, 4));
  const summer = today.slice(5) < "04-01" ? year - 1 : year;
  const winter = today.slice(5) < "10-01" ? year - 1 : year;
  return {
    year: [`${year}-01-01`, today],
    months: [addDays(today, -364), today],
    summer: [`${summer}-04-01`, earlier(`${summer}-09-30`, today)],
    winter: [`${winter}-10-01`, earlier(`${winter + 1}-03-31`, today)],
  };
}

/** @param {string} one @param {string} two */
function earlier(one, two) {
  return one < two ? one : two;
}

/** What is wrong, by field. @param {string} first @param {string} last @param {string} today
 * @returns {{first: ""|"wanted"|"ahead", last: ""|"wanted"|"backwards"|"too_long"}} */
export function spanProblems(first, last, today) {
  if (!first) return { first: "wanted", last: last ? "" : "wanted" };
  if (first > today) return { first: "ahead", last: "" };
  if (!last) return { first: "", last: "wanted" };
  if (last < first) return { first: "", last: "backwards" };
  return { first: "", last: daysBetween(first, earlier(last, today)) >= MOST_DAYS ? "too_long" : "" };
}
