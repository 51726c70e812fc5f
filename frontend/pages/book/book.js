// The pond book: everything recorded, newest first; what was set aside; and the way to settings and this device.
import { html, useId, useMemo, useState } from "../../ui.js";
import { instantOf, civilDate, withOffset } from "../../domain/civil.js";
import { skewMs, withdrawnIds } from "../../domain/fold.js";
import { describe, EntryLine } from "../../parts/entry-line.js";
import { inOneGo, SetInOneGo } from "../../parts/set-in-one-go.js";
import { exportJson } from "../device.js";
import { NoteForm } from "./note-form.js";
import { shortDate } from "../../formats.js";
import { Icon } from "../../parts/icons.js";
import { useNow, useStore } from "../../store.js";
import { makeEntry, record } from "../../record.js";
import { problemSentence, words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Seen} Seen */

const PAGE = 60;
/** @type {[keyof typeof words.titles, string][]} */
const LINKS = [["jobs", "round"], ["kit", "kit"], ["changes", "change"], ["scores", "look"], ["hand-overs", "hands"],
  ["reach", "letter"], ["pond", "pond"], ["device", "device"], ["past", "book"]];
/** What every entry says of itself, and a new one says anew. */
const ENVELOPE = new Set([
  "id", "v", "pond", "kind", "happened_at", "local_date", "zone", "recorded_at", "device", "author",
]);

export function Book() {
  const { set_aside } = useStore();
  const now_ms = useNow();
  return html`<main class="page book">
    <header class="page-head"><div><h1>${words.book.title}</h1><p class="quiet">${words.book.hint}</p></div></header>
    ${set_aside.length > 0 && html`<${SetAside} />`}
    <nav class="book-links" aria-label=${words.book.links}>
      ${LINKS.map(([page, icon]) => html`<a class="choice" key=${page} href=${`/${page}`}><${Icon} name=${icon} />
        <span>${words.titles[page]}</span></a>`)}
    </nav>
    <${NoteForm} />
    <${Everything} now_ms=${now_ms} />
  </main>`;
}

function SetAside() {
  const { set_aside, plan, seen } = useStore();
  return html`<section class="notice act" aria-labelledby="set-aside">
    <h2 id="set-aside">${words.book.aside}</h2><p>${words.book.aside_hint}</p>
    <ul>${set_aside.map((one) => html`<li class="aside" key=${one.id}>
      <p><strong>${describe({ ...one, seq: null, on: one.entry.local_date }, plan, seen)}</strong></p>
      <p>${problemSentence(one)} <span class="quiet">${one.where}</span></p></li>`)}</ul>
    <button type="button" class="plain-button"
      onClick=${() => exportJson("evenwater-set-aside.json", set_aside)}>${words.book.export}</button>
  </section>`;
}

/** @param {{now_ms: number}} props */
function Everything({ now_ms }) {
  const { seen } = useStore();
  const [shown, show] = useState(PAGE);
  const [runs, gone] = useMemo(() => {
    const entries = [...seen.values()].sort((a, b) => Date.parse(b.at) - Date.parse(a.at) || (a.id < b.id ? 1 : -1));
    return [inOneGo(entries), withdrawnIds(entries)];
  }, [seen]);
  if (runs.length === 0) return html`<div class="empty"><${Icon} name="book" /><p>${words.book.none}</p></div>`;
  const line = (/** @type {Seen} */ one) => html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms}
    withdrawn=${gone.has(one.id)}>${one.time_doubtful && !gone.has(one.id) && html`
      <${WhenWasThis} one=${one} now_ms=${now_ms} />`}</${EntryLine}>`;
  return html`${byDay(runs.slice(0, shown)).map(([date, here]) => html`<section class="part" key=${date}>
      <h2>${shortDate(date)}</h2>
      <ul class="entry-list">${here.map((run) => (run.length === 1 ? line(run[0])
        : html`<${SetInOneGo} key=${run[0].id} run=${run} now_ms=${now_ms} draw=${line} />`))}</ul>
    </section>`)}
    ${runs.length > shown && html`<p class="centre"><button type="button" class="plain-button"
      onClick=${() => show(shown + PAGE)}>${words.book.more}</button></p>`}`;
}

/** @param {Seen[][]} runs newest first @returns {[string, Seen[][]][]} */
function byDay(runs) {
  /** @type {Map<string, Seen[][]>} */
  const days = new Map();
  for (const run of runs) days.set(run[0].on, [...(days.get(run[0].on) ?? []), run]);
  return [...days];
}

/** Beyond this the server believes no moment this phone names. */
const WILD_SKEW_S = 86400;

/** The phone's clock cannot have been right: ask, then withdraw the entry and write it again where it belongs.
 * @param {{one: Seen, now_ms: number}} props */
function WhenWasThis({ one, now_ms }) {
  const { skew_s } = useStore();
  const { entry } = one;
  const [date, pickDate] = useState(one.on);
  const [time, pickTime] = useState(withOffset(entry.zone, Date.parse(one.at)).slice(11, 16));
  const id = useId();
  const save = (event) => {
    event.preventDefault();
    if (!date || !time) return;
    // In this phone's own time, as everything it sends: the server puts its skew right.
    const ms = Math.min(instantOf(entry.zone, date, time), now_ms) - skewMs(skew_s);
    const { pond, kind } = entry;
    const fields = Object.fromEntries(Object.entries(entry).filter(([name]) => !ENVELOPE.has(name)));
    record([makeEntry("take_back", pond, { entry: one.id }), makeEntry(kind, pond, fields, ms)], words.pond.saved);
  };
  if (Math.abs(skew_s) > WILD_SKEW_S) return html`<p class="when-was-this">${words.book.clock_first}</p>`;
  return html`<form class="when-was-this" onSubmit=${save}>
    <p>${words.book.doubtful}</p>
    <div class="pair">
      <label for=${`${id}-date`}>${words.book.date}<input id=${`${id}-date`} type="date" required value=${date}
        max=${civilDate(entry.zone, now_ms)} onInput=${(event) => pickDate(event.target.value)} /></label>
      <label for=${`${id}-time`}>${words.book.time}<input id=${`${id}-time`} type="time" required value=${time}
        onInput=${(event) => pickTime(event.target.value)} /></label>
      <button type="submit" class="plain-button">${words.book.doubtful_save}</button>
    </div>
  </form>`;
}
