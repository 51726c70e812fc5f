// The times of day of a standing job: by the clock, or from dawn or dusk at the pond.
import { jobsWords } from "../../words/jobs-words.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").StandingJob} StandingJob */
/** @typedef {import("../../parts/form-values.js").Rows} Rows */

const W = jobsWords;
const MOST = 6;

/** @returns {Rows} */
export function windowRows() {
  /** @returns {import("../../parts/form-values.js").Field[]} */
  const end = (/** @type {"opens"|"closes"} */ of) => {
    const clock = (/** @type {Record<string, string>} */ own) => own[`${of}_of`] === "clock";
    return [
      { name: `${of}_of`, label: W[of], options: W.by },
      { name: `${of}_clock`, label: W[`${of}_clock`], kind: "time", required: true, where: clock },
      { name: `${of}_by`, label: W[`${of}_by`], kind: "time", required: true, where: (own) => !clock(own) }];
  };
  return { name: "windows", add: W.window_add, title: W.window_n, drop: W.window_drop, most: MOST,
    none: W.window_needed, fields: [{ name: "slot", label: "", kind: "kept" },
      { name: "part", label: W.part, options: words.parts }, ...end("opens"), ...end("closes"),
      { name: "text", label: W.window_text, kind: "text", most: 200, hint: W.window_text_hint }],
    says: (own) => (own.opens_of && own.closes_of ? windowWords(windowFrom(own)) : "") };
}

/** "dusk-01:00" -> ["dusk_before", "01:00"] @param {string} moment @returns {[string, string]} */
function taken(moment) {
  const found = moment.match(/^(dawn|dusk)([+-])(.*)$/);
  return found ? [`${found[1]}_${found[2] === "-" ? "before" : "after"}`, found[3]] : ["clock", moment];
}

/** @param {string} of @param {string} clock @param {string} by */
function put(of, clock, by) {
  const [sun, side] = of.split("_");
  return of === "clock" ? clock : `${sun}${side === "before" ? "-" : "+"}${by}`;
}

/** @param {Pick<StandingJob, "windows"|"texts">} job @returns {Record<string, any>[]} */
export function windowValues({ windows, texts }) {
  return Object.entries(windows).map(([slot, { part, opens, closes }]) => {
    const [[opens_of, opens_at], [closes_of, closes_at]] = [taken(opens), taken(closes)];
    return { slot, part, text: texts[slot] ?? "", opens_of, closes_of,
      opens_clock: opens_of === "clock" ? opens_at : "", opens_by: opens_of === "clock" ? "" : opens_at,
      closes_clock: closes_of === "clock" ? closes_at : "", closes_by: closes_of === "clock" ? "" : closes_at };
  });
}

/** @param {Record<string, any>} row @returns {import("../../domain/types.js").JobWindow} */
function windowFrom(row) {
  return { part: row.part, opens: put(row.opens_of, row.opens_clock ?? "", row.opens_by ?? ""),
    closes: put(row.closes_of, row.closes_clock ?? "", row.closes_by ?? "") };
}

/** A row's slot is kept through every edit, because ticks name it; a new one is called by its part of the day.
 * @param {Record<string, any>[]} rows @returns {Pick<StandingJob, "windows"|"texts">} */
export function windowsFrom(rows) {
  /** @type {Record<string, import("../../domain/types.js").JobWindow>} */
  const windows = {};
  /** @type {Record<string, string>} */
  const texts = {};
  const kept = new Set(rows.map((row) => row.slot).filter(Boolean));
  for (const row of rows) {
    let slot = row.slot;
    for (let n = 1; !slot; n += 1) {
      const free = n === 1 ? row.part : `${row.part}-${n}`;
      if (!kept.has(free)) slot = free;
    }
    kept.add(slot);
    windows[slot] = windowFrom(row);
    if (row.text) texts[slot] = row.text;
  }
  return { windows, texts };
}

/** @param {Record<string, any>[]} rows @returns {Record<string, string>} by field */
export function windowProblems(rows) {
  for (const [n, row] of rows.entries()) {
    const { opens, closes } = windowFrom(row);
    const long = ["opens", "closes"].find((of) => row[`${of}_of`] !== "clock" && (row[`${of}_by`] ?? "") >= "10:00");
    if (long) return { [`windows.${n}.${long}_by`]: W.under_ten_hours };
    if (opens === closes) {
      return { [`windows.${n}.closes_${row.closes_of === "clock" ? "clock" : "by"}`]: W.no_length };
    }
  }
  return {};
}

/** "dusk-01:00" -> "1:00 before dusk" @param {string} moment */
function momentWords(moment) {
  const [of, at] = taken(moment);
  if (of === "clock") return at;
  const sun = /** @type {Record<string, (by: string) => string>} */ (W.sun);
  if (at === "00:00") return W.at[/** @type {"dawn"|"dusk"} */ (of.slice(0, 4))];
  return sun[of](at.replace(/^0/, ""));
}

/** @param {import("../../domain/types.js").JobWindow} window */
export function windowWords({ opens, closes }) {
  return W.between(momentWords(opens), momentWords(closes));
}
