// Two weeks back, two weeks ahead. Today is in the middle of what is first seen.
import { html, classes, useEffect, useRef } from "../ui.js";
import { addDays } from "../domain/civil.js";
import { dayParts, shortDate } from "../formats.js";
import { words } from "../words.js";

const BACK = 14;
const AHEAD = 13;

/** @param {{today: string, shown: string, onPick: (date: string) => void}} props */
export function DayStrip({ today, shown, onPick }) {
  const strip = useRef(/** @type {HTMLElement|null} */ (null));
  useEffect(() => {
    const here = /** @type {HTMLElement|null} */ (strip.current?.querySelector("[aria-current]") ?? null);
    if (here && strip.current) strip.current.scrollLeft = here.offsetLeft - strip.current.clientWidth / 2 + here.clientWidth / 2;
  }, [shown, today]);
  const dates = Array.from({ length: BACK + AHEAD + 1 }, (_, n) => addDays(today, n - BACK));
  return html`<nav class="day-strip" ref=${strip} aria-label=${words.round.days}>
    ${dates.map((date) => {
      const { weekday, day } = dayParts(date);
      return html`<button key=${date} type="button" class=${classes("day", date === today && "today")}
        aria-current=${date === shown ? "date" : undefined}
        onClick=${() => onPick(date)}><span>${weekday} </span><b>${day}</b><span class="unseen"> ${shortDate(date).split(" ")[2]}</span></button>`;
    })}
  </nav>`;
}
