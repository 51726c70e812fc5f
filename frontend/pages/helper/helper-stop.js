// One stop of a helper's round: a mark on the path, and beside it a plain card, a quiet line, or what was done.
import { html, classes, useRef } from "../../ui.js";
import { standingOf } from "../../domain/fold.js";
import { latenessKind } from "../../domain/late.js";
import { clock, number } from "../../formats.js";
import { helperWords } from "../../words/helper-words.js";
import { HelperCard } from "../../parts/helper-card.js";
import { Icon } from "../../parts/icons.js";
import { DoneLine, JobLine } from "../../parts/job-line.js";
import { keepTrial, takeBack } from "../../record.js";
import { roundWords } from "../../words/round-words.js";
import { get, useStore } from "../../store.js";
import { notDone, noteOn, setDraft, tickJob } from "../round/round-acts.js";
import { askedOf } from "../round/round-asked.js";
import { answerWords, isFresh, MARKS, settledWords, twiceWords } from "../round/round-stop.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */
/** @typedef {import("../../store.js").State} State */
/** @typedef {import("../round/round-view.js").Stop} Stop */

/** @param {{stop: Stop, open: boolean, next: boolean, live: boolean, zone: string, now_ms: number,
 *   onOpen: () => void}} props */
export function HelperStop({ stop, open, next, live, zone, now_ms, onOpen }) {
  const state = useStore();
  const { job, now } = stop;
  const last = useRef(now);
  const answers = /** @type {Seen[]} */ (now.answers.map((id) => state.seen.get(id)).filter(Boolean));
  // A card just answered keeps the words it had, so that nothing on it jumps.
  if (answers.length === 0) last.current = now;
  const ponds = state.plan?.ponds ?? [];
  const pond_name = ponds.length > 1 ? ponds.find((one) => one.id === job.pond)?.name ?? "" : "";
  const matters = now.state === "late" && latenessKind(job, now_ms) === "matters";
  const mark = MARKS[now.state] ?? (matters ? "matters" : next ? "next" : "todo");
  const card = open && live;
  const line = { job, pond_name, zone, now_ms };
  return html`<li class=${classes("stop", now.state, next && "next", card && "open")}>
    <span class=${`mark mark-${mark}`}><${Icon} name=${mark} /></span>
    ${card ? html`<${HelperCard} ...${line} now=${last.current} acts=${actsOf(stop, now_ms)}
        asked=${askedOf(job, state, now_ms)} given=${answers.length ? [] : givenBy(stop, state, zone)}
        settled=${answers.length ? settledHere(answers, state, zone) : null} />`
      : answers.length ? html`<${DoneLine} job=${job} pond_name=${pond_name} twice=${twiceWords(job, answers)}
        answers=${answers.map((one) =>
          ({ id: one.id, text: answerWords(one, job, state, zone), takeBack: wayBack(one, state) }))}
        photos=${answers.flatMap((one) => one.entry.photos ?? [])}
        onPhotos=${live && isFresh(answers, now_ms)
          ? (/** @type {string[]} */ photos) => noteOn(job, roundWords.photo, photos) : null} />`
      : html`<${JobLine} ...${line} now=${now} whose="" onOpen=${live ? onOpen : null} />`}
  </li>`;
}

/** @param {Stop} stop @param {number} now_ms @returns {import("../../parts/helper-card.js").HelperActs} */
function actsOf({ job, now }, now_ms) {
  return {
    tick: (photos) => tickJob(job, now.amount_g ?? job.amount_g, { photos }, now_ms),
    notDone: (reason, photos) => notDone(job, reason, photos),
    note: (text, photos) => noteOn(job, text, photos),
    type: (text, name) => setDraft(name, text),
  };
}

/** How one's own answer is withdrawn; nobody takes back another's. @param {Seen} one @param {State} state
 * @returns {(() => void)|null} */
function wayBack(one, { person, trial }) {
  if (one.entry.author !== person?.id) return null;
  if (!trial.some(({ id }) => id === one.id)) return () => takeBack(one);
  return () => keepTrial(get().trial.filter(({ id }) => id !== one.id));
}

/** @param {Seen[]} answers @param {State} state @param {string} zone */
function settledHere(answers, state, zone) {
  return { ...settledWords(answers, zone), takeBack: wayBack(answers[answers.length - 1], state) };
}

/** Who gave of the same since the date it is due, which keeps a bag shut. @param {Stop} stop @param {State} state
 * @param {string} zone @returns {string[]} */
function givenBy({ job, now }, { plan, seen }, zone) {
  if (!job.bag || !now.given_g) return [];
  const grams = (/** @type {Seen} */ { entry }) => (job.shape === "feed" ? entry.feed_g : entry.amount_g) ?? 0;
  return standingOf(seen).filter((one) => one.entry.pond === job.pond && one.on >= job.due_on && grams(one) > 0)
    .map((one) => helperWords.given(plan?.person_names[one.entry.author] ?? helperWords.somebody, clock(one.at, zone),
      `${number(grams(one), 0)} g`));
}
