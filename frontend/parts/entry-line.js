// One entry on one line: when, what, by whom, where it stands; and its own way to take it back.
import { html, classes } from "../ui.js";
import { describe } from "../entry-words.js";
import { when } from "../formats.js";
import { useStore } from "../store.js";
import { takeBack } from "../record.js";
import { words } from "../words.js";

/**
 * @param {{one: import("../domain/types.js").Seen, now_ms: number, withdrawn?: boolean, children?: any}} props
 */
export function EntryLine({ one, now_ms, withdrawn = false, children }) {
  const { plan, seen, waiting, deferred, person } = useStore();
  const { entry } = one;
  const text = describe(one, plan, seen);
  const who = entry.author === person?.id ? "" : plan?.person_names[entry.author] ?? "";
  const stands = deferred.has(one.id) ? words.book.deferred : waiting.has(one.id) ? words.book.waiting : "";
  const small = [when(one.at, entry.zone, now_ms), who, withdrawn && words.book.taken_back, stands].filter(Boolean);
  return html`<li class=${classes("entry-line", withdrawn && "withdrawn")}>
    <div class="entry-what">
      <p>${withdrawn ? html`<s>${text}</s>` : text}</p>
      <p class="quiet">${small.join(" · ")}</p>
    </div>
    ${!withdrawn && person && html`<button type="button" class="text-button"
      aria-label=${`${words.card.take_back}: ${text}`}
      onClick=${() => takeBack(one, words.kinds.take_back(text))}>${words.card.take_back}</button>`}
    ${children}
  </li>`;
}
