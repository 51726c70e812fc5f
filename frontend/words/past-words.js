// What "Bring the past in" says: in the script that comes later, beside the page that says it.
import { words } from "../words.js";

const some = (/** @type {number} */ n, /** @type {string} */ one, /** @type {string} */ more) =>
  `${n.toLocaleString("en-GB")} ${n === 1 ? one : more}`;

export const pastWords = {
  title: words.titles.past,
  hint: "Your own table becomes readings: save it from the spreadsheet as CSV. Nothing is kept before you say so.",
  offline: "This needs signal from home, and there is none. What is on this phone is safe.",
  file: "Your file",
  file_hint: "CSV, up to 32 MB. It may also be dropped here.",
  paste: "Or paste rows",
  paste_label: "Rows copied from the spreadsheet, with the names of the columns",
  paste_read: "Read these rows",
  pasted: "pasted rows",
  sending: (percent) => `Sending, ${percent} %`,
  reading: "Home reads it",
  keeping: "Home keeps it",
  too_large: "This file is larger than 32 MB: please cut it in two.",

  understood: "This is what I understood",
  check: "please check",
  rows: (name, rows, header) => `${name}: ${some(rows, "row", "rows")}${header ? `, names in line ${header}` : ""}.`,
  found: (values, is_new, here, twice) => [
    `${some(values, "value", "values")} found`, `${is_new.toLocaleString("en-GB")} new`,
    here > 0 && `${here.toLocaleString("en-GB")} here already`,
    twice > 0 && `${twice.toLocaleString("en-GB")} repeated and counted once`].filter(Boolean).join(", "),
  date_order: "Dates are",
  orders: { dmy: "day, month, year", mdy: "month, day, year", ymd: "year, month, day" },
  decimal: "Decimal sign",
  decimals: { "": "as each column shows", ",": "comma: 5,5", ".": "point: 5.5" },
  year: "Year, for dates without one",
  zone: (zone) => `Times are those of ${zone.replaceAll("_", " ")}; without a time of day 18:00 is taken.`,
  columns: "Columns",
  left_out: (n) => some(n, "column is left out", "columns are left out"),
  taken_for: "Taken for",
  unit: "Unit",
  point: "Where from",
  first: "The first of them, as they would be kept",
  first_columns: ["Line", "When", "What"],
  counts: "What there is",
  counts_columns: ["What", "How many", "When", "Least to most"],
  span: (from, to) => (from === to ? from : `${from} to ${to}`),
  least_to_most: (least, most, unit) => `${least === most ? least : `${least} to ${most}`} ${unit}`,
  bad: (n) => some(n, "cell or line cannot be read", "cells or lines cannot be read"),
  bad_hint: "They are left out; the rest is kept. Mend them in the spreadsheet and bring the file again.",
  bad_at: (line, column) => `Line ${line}${column ? `, ${column}` : ""}`,
  more_bad: (n, named) => `and ${some(n, "more", "more")}${n + 8 > named ? `; the first ${named} are named` : ""}`,
  clash: (n) => some(n, "quantity has two values at one moment", "times a quantity has two values at one moment"),
  clash_hint: "Both are kept.",
  clash_columns: ["Line", "When", "What", "Values"],
  keep: (n) => `Keep ${some(n, "entry", "entries")}`,
  keep_readings: (n) => `Keep ${some(n, "reading", "readings")}`,
  none_new: "There is nothing new in it to keep.",
  other_file: "Another file",

  done: (n, here) => `${some(n, "entry is", "entries are")} kept${here > 0
    ? `; ${here.toLocaleString("en-GB")} were here already` : ""}.`,
  done_links: "What now",
  to_water: "See the Water page",
  to_round: "See the round",

  imports: "Brought in before",
  import_line: (count, bad, from, to) => [some(count, "entry", "entries"),
    from && (from === to ? from : `${from} to ${to}`), bad > 0 && `${bad.toLocaleString("en-GB")} not read`]
    .filter(Boolean).join(" · "),
  taken_back: (day) => `taken back on ${day}`,
  take_back: "Take all of it back",
  take_back_sure: (count) =>
    `All ${some(count, "entry", "entries")} of it are withdrawn. They can be brought in again.`,
  take_back_yes: "Take back",
  was_taken_back: "Taken back.",

  export: "Take everything out",
  export_hint: "The whole log. CSV opens in a spreadsheet; JSON is each entry as it was kept.",
  export_csv: "Everything as CSV",
  export_json: "Everything as JSON",
};
