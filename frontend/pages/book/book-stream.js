// Everything recorded, newest first, and what is sought of it: first what this device holds, then what home has.
import { html, useEffect, useMemo, useState } from "../../ui.js";
import { withdrawnIds } from "../../domain/fold.js";
import { dayIn } from "./year-months.js";
import { shortDate } from "../../formats.js";
import { bookWords } from "../../words/book-words.js";
import { EntryLine } from "../../parts/entry-line.js";
import { Icon } from "../../parts/icons.js";
import { inOneGo, SetInOneGo } from "../../parts/set-in-one-go.js";
import { useNow, usePicked } from "../../store.js";
import { errorSentence, words } from "../../words.js";
import { isAllHere, useBack } from "./book-back.js";
import { Find } from "./book-find.js";
import { FILES, queryOf, soughtAmong, soughtFrom } from "./book-sought.js";
import { WhenWasThis } from "./when-was-this.js";
import { WriteRight } from "./write-right.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */

const W = bookWords;
const PAGE = 60;

/** @param {{query: string}} props */
export function Stream({ query }) {
  const [seen, plan, waiting, device] = usePicked((now) => [now.seen, now.plan, now.waiting, now.device]);
  const now_ms = useNow();
  const [sought, seek] = useState(() => soughtFrom(new URLSearchParams(query)));
  const [shown, show] = useState(PAGE);
  const { held, back, busy, failed, more } = useBack(sought);
  const address = queryOf(sought);
  useEffect(() => {
    history.replaceState(null, "", `/book${address}`);
    show(PAGE);
  }, [address]);
  const here = useMemo(() => {
    const all = [...seen.values()].filter((one) => !held || one.on >= held || waiting.has(one.id));
    return soughtAmong(all, sought, plan, seen);
  }, [seen, plan, sought, held, waiting]);
  const [runs, about, gone] = useMemo(() => {
    const known = new Map([...back.about, ...back.entries].map((one) => [one.id, one]));
    // What is worked out of all a device holds is kept by that very map.
    const mine = known.size > 0 ? new Map([...known, ...seen]) : seen;
    const all = [...new Map([...back.entries, ...here].map((one) => [one.id, one])).values()].sort(newestFirst);
    return [sought.text.trim() ? all.map((one) => [one]) : inOneGo(all), mine,
      new Set([...back.gone, ...withdrawnIds(seen.values())])];
  }, [here, back, seen]);
  // What was taken back here while this is open may be written anew; what was before, or elsewhere, stays as it is.
  const [opened_ms] = useState(() => Date.now());
  const lately = useMemo(() => new Set([...seen.values()].filter(({ entry }) => entry.kind === "take_back"
    && entry.device === device && Date.parse(entry.recorded_at) >= opened_ms).map(({ entry }) => entry.entry)), [seen]);
  const count = runs.reduce((sum, run) => sum + run.length, 0);
  const since = back.back_to ?? held;
  const found = W.found(count) + (since && !(back.begun && !back.next) ? W.so_far(dated(since, now_ms)) : "");
  const beside = (/** @type {Seen} */ one) => (gone.has(one.id)
    ? lately.has(one.id) && html`<${WriteRight} one=${one} />`
    : one.time_doubtful && html`<${WhenWasThis} one=${one} now_ms=${now_ms} />`);
  const line = (/** @type {Seen} */ one) => html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} about=${about}
    withdrawn=${gone.has(one.id)}>${beside(one)}</${EntryLine}>`;
  return html`<${Find} sought=${sought} onSeek=${seek} found=${found} />
    ${count === 0 && !address && html`<div class="empty"><${Icon} name="book" /><p>${words.book.none}</p></div>`}
    ${byDay(runs.slice(0, shown)).map(([date, day]) => html`<section class="part" key=${date}>
      <h2>${dated(date, now_ms)}</h2>
      <ul class="entry-list">${day.map((run) => (run.length === 1 ? line(run[0])
        : html`<${SetInOneGo} key=${run[0].id} run=${run} now_ms=${now_ms} draw=${line} />`))}</ul>
    </section>`)}
    ${runs.length > shown ? html`<p class="centre"><button type="button" class="plain-button"
        onClick=${() => show(shown + PAGE)}>${words.book.more}</button></p>`
      : held && !isAllHere(sought, held) && html`<${Further} held=${held} back=${back} busy=${busy} failed=${failed}
        files=${sought.group === FILES} sought=${Boolean(address)} now_ms=${now_ms} onMore=${() => {
          show(shown + PAGE);
          more();
        }} />`}`;
}

/** How far back this goes, and the way further.
 * @param {{held: string, back: import("./book-back.js").Back, busy: boolean, files: boolean, sought: boolean,
 *   failed: Extract<import("../../offline/server.js").Answer, {ok: false}>|null, now_ms: number,
 *   onMore: () => void}} props */
function Further({ held, back, busy, failed, files, sought, now_ms, onMore }) {
  const says = failed ? W.at_home(errorSentence(failed))
    : back.begun && !back.next ? (sought ? W.beginning_found : W.beginning)
      : back.begun && back.back_to && back.entries.length === 0 ? W.looked_to(dated(back.back_to, now_ms))
        : back.begun ? "" : files ? W.files : W.here_since(dated(held, now_ms));
  const button = back.begun && back.entries.length > 0 ? words.book.more : files ? W.look_at_home : W.look_back;
  return html`<div class="further"><p role="status">${says}</p>
    ${(!back.begun || back.next) && html`<p class="centre"><button type="button" class="plain-button" disabled=${busy}
      onClick=${onMore}>${busy ? W.looking : button}</button></p>`}</div>`;
}

/** "Tue 3 Nov", of another year "Mon 3 Nov 2025". @param {string} date @param {number} now_ms */
function dated(date, now_ms) {
  return `${shortDate(date).split(" ")[0]} ${dayIn(date, new Date(now_ms).getFullYear())}`;
}

/** @param {Seen} a @param {Seen} b */
function newestFirst(a, b) {
  return Date.parse(b.at) - Date.parse(a.at) || (a.id < b.id ? 1 : -1);
}

/** @param {Seen[][]} runs newest first @returns {[string, Seen[][]][]} */
function byDay(runs) {
  /** @type {Map<string, Seen[][]>} */
  const days = new Map();
  for (const run of runs) days.set(run[0].on, [...(days.get(run[0].on) ?? []), run]);
  return [...days];
}
