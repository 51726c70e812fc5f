// One stop on the walk: a mark on the path, and beside it a card, a quiet line, or what was done.
import { html, classes, useRef } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { isReading, standingOf } from "../../domain/fold.js";
import { latenessKind } from "../../domain/late.js";
import { nameOf } from "../../domain/today.js";
import { amount, clock, number, shortDate, when } from "../../formats.js";
import { rangeError } from "../../parts/fields.js";
import { Icon } from "../../parts/icons.js";
import { JobCard } from "../../parts/job-card.js";
import { DoneLine, JobLine } from "../../parts/job-line.js";
import { takeBack } from "../../record.js";
import { roundWords } from "../../words/round-words.js";
import { useStore } from "../../store.js";
import { inUnits, shownValue, toShown } from "../../units.js";
import { words } from "../../words.js";
import { notDone, noteOn, readingToday, saidEaten, saveCardReading, setDraft, tickJob } from "./round-acts.js";
import { askedOf } from "./round-asked.js";
import { givenLately } from "./round-view.js";

/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../store.js").State} State */

/** @type {Record<string, string>} */
export const MARKS = {
  done: "done", not_done: "skipped", lapsed: "skipped", held_back: "held", stood_down: "held", not_known: "asked",
};

/** @param {{stop: import("./round-view.js").Stop, open: boolean, next: boolean, live: boolean, zone: string,
 *   now_ms: number, onOpen: () => void}} props */
export function RoundStop({ stop, open, next, live, zone, now_ms, onOpen }) {
  const state = useStore();
  const { job, now } = stop;
  const last = useRef(now);
  const answers = /** @type {Seen[]} */ (now.answers.map((id) => state.seen.get(id)).filter(Boolean));
  // A card just answered keeps the words it had, so that nothing on it jumps.
  if (answers.length === 0) last.current = now;
  const about = aboutJob(job, state);
  const { pond_name, whose } = about;
  const matters = now.state === "late" && latenessKind(job, now_ms) === "matters";
  const mark = MARKS[now.state] ?? (matters ? "matters" : next ? "next" : "todo");
  const card = open && live;
  return html`<li class=${classes("stop", now.state, next && "next", card && "open")}>
    <span class=${`mark mark-${mark}`}><${Icon} name=${mark} /></span>
    ${card ? html`<${JobCard} job=${job} now=${last.current} zone=${zone} now_ms=${now_ms} about=${about}
        reading=${cardReading(job, state, now_ms)} asked=${askedOf(job, state, now_ms)}
        given=${givenWords(job, state, answers, zone, now_ms)}
        settled=${answers.length ? settledWords(answers, zone) : null} acts=${actsOf(stop, now_ms)} />`
      : answers.length ? html`<${DoneLine} job=${job} pond_name=${pond_name} twice=${twiceWords(job, answers)}
        answers=${answers.map((one) =>
          ({ id: one.id, text: answerWords(one, job, state, zone), takeBack: () => takeBack(one) }))}
        photos=${answers.flatMap((one) => one.entry.photos ?? [])}
        onPhotos=${live && isFresh(answers, now_ms) ? (photos) => noteOn(job, roundWords.photo, photos) : null}
        onEaten=${live ? eatenOf(answers, job, state, now_ms) : null} />`
      : html`<${JobLine} job=${job} now=${now} zone=${zone} now_ms=${now_ms} pond_name=${pond_name} whose=${whose}
        onOpen=${live ? onOpen : null} />`}
  </li>`;
}

/** A photo taken afterwards is taken soon; until then its button stands on the line. */
const FRESH_MS = 15 * 60_000;
const EATEN_MS = 3 * 3_600_000;

/** @param {Seen[]} answers @param {number} now_ms */
export function isFresh(answers, now_ms) {
  return answers.some((one) => now_ms - Date.parse(one.at) < FRESH_MS);
}

/** What is left is seen soon after; whoever fed says it.
 * @param {Seen[]} answers @param {Job} job @param {State} state @param {number} now_ms */
function eatenOf(answers, job, { person }, now_ms) {
  const last = answers[answers.length - 1];
  const { author, feed_g, appetite } = last.entry;
  const open = author === person?.id && feed_g && !appetite && now_ms - Date.parse(last.at) < EATEN_MS;
  return open ? (/** @type {string} */ eaten) => saidEaten(job, last, eaten) : null;
}

/** Which pond where there are several, whose job it is, on which kit. @param {Job} job @param {State} state */
function aboutJob(job, { plan, person }) {
  const ponds = plan?.ponds ?? [];
  const pond = ponds.find((one) => one.id === job.pond);
  const names = (job.who ?? []).map((id) => (id === person?.id ? roundWords.you : plan?.person_names[id] ?? ""));
  return {
    pond_name: ponds.length > 1 ? pond?.name ?? "" : "",
    whose: names.some(Boolean) ? roundWords.whose(roundWords.and(names.filter(Boolean))) : "",
    kit: pond?.kit?.find((one) => one.id === job.kit)?.name ?? "",
  };
}

/** @param {import("./round-view.js").Stop} stop @param {number} now_ms
 * @returns {import("../../parts/job-card.js").JobActs} */
function actsOf({ job, now }, now_ms) {
  return {
    tick: (extra = {}) => tickJob(job, now.amount_g, extra, now_ms),
    notDone: (reason, photos) => notDone(job, reason, photos),
    note: (text, photos) => noteOn(job, text, photos),
    saveReading: () => saveCardReading(job, now_ms),
    type: (text, name = nameOf(job)) => setDraft(name, text),
  };
}

/** @param {Job} job @param {State} state @param {number} now_ms
 * @returns {import("../../parts/job-card.js").CardReading|null} */
function cardReading(job, state, now_ms) {
  const chart = job.chart;
  const pond = state.plan?.ponds.find((one) => one.id === job.pond);
  const stored = state.plan?.quantities.find((one) => one.quantity === chart?.quantity);
  if (!chart || !stored) return null;
  const known = inUnits({ ...stored, step: chart.step }, pond);
  const zone = pond?.zone ?? "UTC";
  const facts = standingOf(state.seen);
  const today = readingToday(job, facts, civilDate(zone, now_ms));
  const before = facts.filter((one) => isReading(one, job.pond, chart.quantity)).pop();
  const draft = state.drafts[nameOf(job)];
  const last = before && `${shownValue(known, before.entry.value)}, ${when(before.at, zone, now_ms)}`;
  const hint = today ? words.card.reading_saved(clock(today.at, zone)) : last ? words.card.from_reading(last) : "";
  const unplanned = today !== null && (today.seq ?? Infinity) > (state.plan?.log_seq ?? 0);
  return {
    governs: unplanned || !rangeError(draft ?? "", known),
    text: draft ?? (today ? toShown(known, today.entry.value).toFixed(known.decimals) : ""),
    dirty: draft !== undefined, hint,
    start: toShown(known, before?.entry.value ?? chart.rows[Math.floor(chart.rows.length / 2)][0]),
    quantity: known,
  };
}

/** @param {Seen} one @param {Job} job */
function amountWords(one, job) {
  const { entry } = one;
  if (typeof entry.amount_g === "number") return amount(entry.amount_g, job.chart?.capful_g ?? null).big;
  if (typeof entry.feed_g === "number") {
    return [`${number(entry.feed_g, 0)} g`, entry.appetite && words.kinds.appetites[entry.appetite]].filter(Boolean)
      .join(", ");
  }
  if (typeof entry.setting_c === "number") return `${number(entry.setting_c)} °C`;
  return "";
}

/** "2½ capfuls · 17:05 · Anna"
 * @param {Seen} one @param {Job} job @param {State} state @param {string} zone */
export function answerWords(one, job, state, zone) {
  const who = one.entry.author === state.person?.id ? "" : state.plan?.person_names[one.entry.author] ?? "";
  const what = one.entry.kind === "not_done" ? `${words.card.not_done}: ${one.entry.reason}` : amountWords(one, job);
  const at = one.on === job.due_on ? clock(one.at, zone) : `${shortDate(one.on)} ${clock(one.at, zone)}`;
  return [what, at, who].filter(Boolean).join(" · ");
}

/** @param {Seen[]} answers @param {string} zone */
export function settledWords(answers, zone) {
  const last = answers[answers.length - 1];
  const at = clock(last.at, zone);
  const text = last.entry.kind === "tick" ? words.card.done_at(at) : words.card.not_done_at(at);
  const { amount_g = null, feed_g = null } = last.entry;
  return { text, amount_g, feed_g, takeBack: () => takeBack(last) };
}

/** Two people, one dose each: both stand, and both are told. @param {Job} job @param {Seen[]} answers */
export function twiceWords(job, answers) {
  const doses = answers.filter((one) => typeof one.entry.amount_g === "number");
  return job.shape === "dose" && doses.length > 1 ? words.card.twice : "";
}

/** What was given in the last day apart from this job's own answers.
 * @param {Job} job @param {State} state @param {Seen[]} answers @param {string} zone @param {number} now_ms */
function givenWords(job, state, answers, zone, now_ms) {
  if (job.shape !== "dose") return [];
  const own = new Set(answers.map((one) => one.id));
  return givenLately(state.seen, job.pond, now_ms)
    .filter((one) => !own.has(one.id))
    .map((one) => words.card.given_already(state.plan?.person_names[one.entry.author] ?? state.person?.name ?? "",
      when(one.at, zone, now_ms), amount(one.entry.amount_g ?? 0, job.chart?.capful_g ?? null).big));
}
