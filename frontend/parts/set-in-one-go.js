// Settings made in one go stand as one line of the book, opened when they are wanted: a year begun is hundreds of them.
import { html, useState } from "../ui.js";
import { when } from "../formats.js";
import { useStore } from "../store.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Seen} Seen */

const FOLD_FROM = 4;
const ONE_GO_MS = 5000;

/** Entries one by one, those of one go together. @param {Seen[]} entries newest first @returns {Seen[][]} */
export function inOneGo(entries) {
  /** @type {Seen[][]} */
  const runs = [];
  for (const one of entries) {
    const run = runs[runs.length - 1];
    if (run && follows(run[run.length - 1], one)) run.push(one);
    else runs.push([one]);
  }
  return runs.flatMap((run) => (run.length < FOLD_FROM ? run.map((one) => [one]) : [run]));
}

/** @param {Seen} later @param {Seen} one */
function follows(later, one) {
  return later.entry.kind === "set" && one.entry.kind === "set" && later.entry.author === one.entry.author
    && later.on === one.on && Date.parse(later.at) - Date.parse(one.at) < ONE_GO_MS;
}

/** @param {{run: Seen[], now_ms: number, draw: (one: Seen) => any}} props */
export function SetInOneGo({ run, now_ms, draw }) {
  const { plan, person } = useStore();
  const [open, show] = useState(false);
  const { entry, at } = run[0];
  const jobs = new Set(run.map((one) => one.entry.target ?? "").filter((target) => target.startsWith("job/"))).size;
  const who = entry.author === person?.id ? "" : plan?.person_names[entry.author] ?? "";
  return html`<li><details class="workings" open=${open} onToggle=${(event) => show(event.target.open)}>
    <summary>${words.book.in_one_go(run.length, jobs)}</summary>
    <p class="quiet">${[when(at, entry.zone, now_ms), who].filter(Boolean).join(" · ")}</p>
    ${open && html`<ul class="entry-list">${run.map(draw)}</ul>`}
  </details></li>`;
}
