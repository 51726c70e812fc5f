// The phone's clock cannot have been right: ask, then withdraw the entry and write it again where it belongs.
import { html, useId, useState } from "../../ui.js";
import { civilDate, instantOf, withOffset } from "../../domain/civil.js";
import { skewMs } from "../../domain/fold.js";
import { makeEntry, record } from "../../record.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { writtenAgain } from "./write-right.js";

/** Beyond this the server believes no moment this phone names. */
const WILD_SKEW_S = 86400;

/** @param {{one: import("../../domain/types.js").Seen, now_ms: number}} props */
export function WhenWasThis({ one, now_ms }) {
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
    record([makeEntry("take_back", entry.pond, { entry: one.id }), writtenAgain(one, {}, ms)], words.pond.saved);
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
