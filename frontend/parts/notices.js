// What people must be told that is no job, on top of the round: a double dose, a message that did not go out. Each can
// be put away on this device once it was read; for the others in the household it stays.
import { html, useState } from "../ui.js";
import { when } from "../formats.js";
import { roundWords } from "../words/round-words.js";
import { useNow, useStore } from "../store.js";
import { Icon } from "./icons.js";

/** @typedef {{id: string, what: string, at: string, text: string, pond: string|null, people: string[],
 *   alarm?: string|null}} Notice   `alarm`: one that somebody may still say to be on */

const KEY = "evenwater-read-notices";
const MOST_KEPT = 200;

/** @returns {string[]} */
function readBefore() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? "[]");
    return Array.isArray(kept) ? kept : [];
  } catch {
    return [];
  }
}

/** @param {string[]} ids */
function keepRead(ids) {
  try {
    localStorage.setItem(KEY, JSON.stringify(ids.slice(-MOST_KEPT)));
  } catch {
    // Read again after the next start, no more.
  }
}

/** @param {{onIt?: (alarm: string) => Promise<any>}} props   says that this person is on an alarm; none: no button */
export function Notices({ onIt }) {
  const { plan, person } = useStore();
  const now_ms = useNow();
  const [read, put] = useState(readBefore);
  const [asking, ask_of] = useState("");
  const all = /** @type {Notice[]} */ (/** @type {any} */ (plan)?.notices ?? []);
  const mine = all.filter(({ id, people }) => !read.includes(id)
    && (!people?.length || people.includes(person?.id ?? "")));
  if (!plan || mine.length === 0) return null;
  const away = (/** @type {string} */ id) => {
    const now = [...new Set([...readBefore(), id])];
    keepRead(now);
    put(now);
  };
  const taken = async (/** @type {string} */ alarm) => {
    ask_of(alarm);
    await onIt?.(alarm);
    ask_of("");
  };
  return html`<section class="notices" aria-label=${roundWords.notices}><ul>${mine.map((one) => html`<li
    class="notice" key=${one.id}><${Icon} name="warn" />
    <div><p>${one.text}</p><p class="notice-foot quiet"><span>${when(one.at, plan.zone, now_ms)}</span>
      ${onIt && one.alarm && html`<button type="button" class="text-button" disabled=${asking === one.alarm}
        aria-label=${`${roundWords.on_it}: ${one.text}`}
        onClick=${() => taken(one.alarm ?? "")}>${roundWords.on_it}</button>`}
      <button type="button" class="text-button" aria-label=${roundWords.notice_read(one.text)}
        onClick=${() => away(one.id)}>${roundWords.read}</button></p></div></li>`)}</ul></section>`;
}
