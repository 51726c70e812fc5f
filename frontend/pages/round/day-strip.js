// Two weeks back and two ahead: how each day went, or how much it will ask. One stop of the Tab key, the arrows go
// from day to day.
import { html, classes, useEffect, useMemo, useRef } from "../../ui.js";
import { addDays } from "../../domain/civil.js";
import { dayParts } from "../../formats.js";
import { Icon } from "../../parts/icons.js";
import { roundWords } from "../../words/round-words.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { dayGoneBy } from "./round-view.js";

const BACK = 14;
const AHEAD = 13;

/** @param {{today: string, shown: string, now_ms: number, onPick: (date: string) => void}} props */
export function DayStrip({ today, shown, now_ms, onPick }) {
  const { plan, seen } = useStore();
  const strip = useRef(/** @type {HTMLElement|null} */ (null));
  useEffect(() => {
    const here = /** @type {HTMLElement|null} */ (strip.current?.querySelector("[aria-current]") ?? null);
    if (!here || !strip.current) return;
    strip.current.scrollLeft = here.offsetLeft - strip.current.clientWidth / 2 + here.clientWidth / 2;
  }, [shown, today]);
  const dates = useMemo(() => Array.from({ length: BACK + AHEAD + 1 }, (_, n) => addDays(today, n - BACK)), [today]);
  const stop = dates.includes(shown) ? shown : today;
  const went = useMemo(() => new Map(dates.filter((date) => date < today).map((date) =>
    [date, dayGoneBy(plan, seen, date, now_ms)])), [dates, plan, seen]);
  const move = (/** @type {KeyboardEvent} */ event) => {
    const days = /** @type {HTMLElement[]} */ ([...strip.current?.children ?? []]);
    const at = days.indexOf(/** @type {HTMLElement} */ (document.activeElement));
    const to = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: days.length - 1 }[event.key];
    if (to === undefined || !days[to]) return;
    event.preventDefault();
    days[to].focus();
  };
  return html`<div class="day-strip" ref=${strip} role="toolbar" aria-label=${words.round.days} onKeyDown=${move}>
    ${dates.map((date) => {
      const { weekday, day, month } = dayParts(date);
      return html`<button key=${date} type="button" class=${classes("day", date === today && "today")}
        aria-current=${date === shown ? "date" : undefined} tabindex=${date === stop ? 0 : -1}
        onClick=${() => onPick(date)}><span>${weekday} </span><b>${day}</b>
        <span class="unseen"> ${month}</span>
        ${date < today ? html`<${Went} went=${went.get(date)} />` : html`<${Asks} date=${date} />`}</button>`;
    })}
  </div>`;
}

/** @param {{went?: import("./round-view.js").DayGoneBy}} props */
function Went({ went }) {
  if (!went || went.done + went.missed === 0) return null;
  const { done, missed } = went;
  return html`<small class="day-more"><${Icon} name=${missed ? "skipped" : "done"} />
    <span class="unseen"> ${missed ? roundWords.missed(missed) : roundWords.done(done)}</span></small>`;
}

/** @param {{date: string}} props */
function Asks({ date }) {
  const { plan } = useStore();
  const day = plan?.days.find((one) => one.date === date);
  if (!day?.minutes) return null;
  if (day.load === "heavy") return html`<small class="day-more heavy">${roundWords.heavy}</small>`;
  return html`<small class="day-more">${words.round.minutes(day.minutes)}</small>`;
}
