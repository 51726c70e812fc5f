// The round: today's jobs in the order one walks them.
import { html, classes, useEffect, useMemo, useRef, useState } from "../ui.js";
import { addDays, civilDate, daysBetween } from "../domain/civil.js";
import { clock, dayAndMonth, dayParts, shortDate, when } from "../formats.js";
import { RoundStop } from "./round-stop.js";
import { asPlanned, isAway, isOpen, isWanted, leftFromYesterday, recordedOn, stopsOn, walk } from "./round-view.js";
import { Wrong } from "./wrong.js";
import { EntryLine } from "../parts/entry-line.js";
import { Icon } from "../parts/icons.js";
import { makeEntry, record, zoneOf } from "../record.js";
import { go, useHalfTyped } from "../router.js";
import { useNow, useStore } from "../store.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Plan} Plan */

/** @param {{query: URLSearchParams}} props */
export function Round({ query }) {
  const { plan, ready } = useStore();
  const now_ms = useNow();
  const zone = zoneOf();
  const today = civilDate(zone, now_ms);
  const shown = query.get("day") ?? today;
  if (query.has("wrong")) return html`<${Wrong} id=${query.get("wrong") ?? ""} now_ms=${now_ms} />`;
  if (!ready) return html`<main class="page"><p class="quiet">${words.round.loading}</p></main>`;
  return html`<main class="page round">
    <${Head} plan=${plan} today=${today} shown=${shown} now_ms=${now_ms} zone=${zone} />
    <${DayStrip} today=${today} shown=${shown}
      onPick=${(date) => go(date === today ? "/round" : `/round?day=${date}`)} />
    ${shown < today ? html`<${PastDay} date=${shown} now_ms=${now_ms} />`
      : html`<${Walk} key=${plan ? shown : "waiting"} plan=${plan} date=${shown} today=${today} now_ms=${now_ms}
        zone=${zone} />`}
    ${shown !== today && html`<p class="centre">
      <a class="plain-button" href="/round">${words.round.back_to_today}</a></p>`}
    <div class="beside">
      ${shown === today && html`<${AllWell} today=${today} zone=${zone} />`}
      <a class="wrong-row" href="/round?wrong"><${Icon} name="warn" />
        <span>${words.wrong.title}<small>${words.wrong.hint}</small></span></a>
    </div>
  </main>`;
}

/** @param {{plan: Plan|null, today: string, shown: string, now_ms: number, zone: string}} props */
function Head({ plan, today, shown, now_ms, zone }) {
  const { seen, drafts } = useStore();
  const day = plan?.days.find((one) => one.date === shown);
  const stops = plan ? stopsOn(plan, seen, drafts, shown, now_ms).filter(isOpen) : [];
  const minutes = stops.reduce((sum, { job }) => sum + job.minutes, 0);
  const dusk_near = day?.dusk_at && now_ms > Date.parse(day.dusk_at) - 2 * 3600000;
  const ahead = daysBetween(today, shown);
  const title = ahead !== 0 ? shortDate(shown) : dusk_near ? words.round.tonight : words.round.today;
  const over = stops.length === 0 && day && day.jobs.length > 0 ? words.round.all_done : "";
  const left = minutes > 0 ? words.round.minutes(minutes) : over;
  const more = [ahead === 0 && dayAndMonth(today), day?.dusk_at && words.round.dusk(clock(day.dusk_at, zone)),
    ahead >= 0 && left];
  return html`<header class="page-head">
    <div><h1>${title}</h1><p class="quiet">${more.filter(Boolean).join(" · ")}</p></div>
    <a class="round-button" href="/water?add">${words.round.add_reading}</a>
  </header>`;
}

/** @param {{plan: Plan|null, date: string, today: string, now_ms: number, zone: string}} props */
function Walk({ plan, date, today, now_ms, zone }) {
  const { seen, drafts } = useStore();
  const [chosen, choose] = useState(/** @type {string|null} */ (null));
  useHalfTyped(Object.values(drafts).some(Boolean));
  const live = date === today;
  const all = plan ? stopsOn(plan, seen, drafts, date, now_ms) : [];
  const stops = live ? all : asPlanned(all);
  if (plan && live) stops.unshift(...leftFromYesterday(plan, seen, drafts, today, now_ms, stops));
  const next = live ? stops.find((stop) => isWanted(stop, now_ms))?.job.id ?? null : null;
  const wanted = stops.some(({ job, now }) => job.id === chosen && now.answers.length === 0) ? chosen : next;
  const [open, openNow] = useSettled(wanted);
  const parts = walk(stops.filter((stop) => stop.job.id === open || !isAway(stop)));
  // A part that is over folds its places away; like the next card, only once the hand is off the screen.
  const [over] = useSettled(parts.filter((part) => part.answered).map((part) => part.part).join(" "));
  const walked = parts.map((part) => ({ ...part, answered: over.includes(part.part) }));
  if (!plan || stops.length === 0) return html`<${NoStops} plan=${plan} date=${date} now_ms=${now_ms} />`;
  const pick = (id) => {
    choose(id);
    openNow(id);
  };
  const draw = (stop) => html`<${RoundStop} key=${stop.job.id} stop=${stop}
    open=${open === stop.job.id} next=${next === stop.job.id} live=${live} zone=${zone} now_ms=${now_ms}
    onOpen=${() => pick(stop.job.id)} />`;
  const down = stops.filter((stop) => stop.job.id !== open && isAway(stop));
  return html`<${StaleWords} plan=${plan} today=${today} now_ms=${now_ms} zone=${zone} />
    ${walked.map((part) => html`<section key=${part.part} class="part">
      <h2>${/** @type {any} */ (words.parts)[part.part]} <span class="quiet">${partWords(part, zone)}</span></h2>
      <ol class="path">${part.places.flatMap((place) => [
        !part.answered && html`<li class="place" key=${`at ${place.place}`}><h3>${place.place}</h3></li>`,
        ...place.stops.map(draw)])}</ol>
    </section>`)}
    ${down.length > 0 && html`<details class="stood-down"><summary>${words.round.stood_down(down.length)}</summary>
      <ol class="path">${down.map(draw)}</ol></details>`}`;
}

/** @param {import("./round-view.js").Part} part @param {string} zone */
function partWords(part, zone) {
  if (part.answered) return words.round.all_done;
  return part.upcoming ? words.round.from(clock(part.opens_at, zone)) : words.round.until(clock(part.closes_at, zone));
}

/** @param {{plan: Plan, today: string, now_ms: number, zone: string}} props */
function StaleWords({ plan, today, now_ms, zone }) {
  const made = when(plan.made_at, zone, now_ms);
  if (now_ms > Date.parse(plan.good_until)) {
    return html`<p class="notice">${words.round.expired(when(plan.good_until, zone, now_ms))}</p>`;
  }
  if (civilDate(zone, Date.parse(plan.made_at)) >= today) return null;
  return html`<p class="stale quiet">${words.round.worked_out(made)}</p>`;
}

/** @param {{plan: Plan|null, date: string, now_ms: number}} props */
function NoStops({ plan, date, now_ms }) {
  const { sync } = useStore();
  if (!plan && (sync === "idle" || sync === "sending")) {
    return html`<p class="empty coming" role="status">${words.round.loading}</p>`;
  }
  const known = plan?.days.some((day) => day.date === date);
  if (known && now_ms <= Date.parse(plan?.good_until ?? "")) return html`<p class="empty">${words.round.nothing}</p>`;
  return html`<p class="empty">${words.round.no_plan}</p>`;
}

/** @param {{date: string, now_ms: number}} props */
function PastDay({ date, now_ms }) {
  const { seen } = useStore();
  const entries = useMemo(() => recordedOn(seen, date), [seen, date]);
  if (entries.length === 0) return html`<p class="empty">${words.round.nothing_recorded}</p>`;
  return html`<section class="part"><h2>${words.round.recorded}</h2>
    <ul class="entry-list">${entries.map((one) =>
      html`<${EntryLine} key=${one.id} one=${one} now_ms=${now_ms} />`)}</ul>
  </section>`;
}

/** @param {{today: string, zone: string}} props */
function AllWell({ today, zone }) {
  const { plan, seen } = useStore();
  const pond = plan?.ponds[0];
  if (!pond) return null;
  const last = recordedOn(seen, today).filter(({ entry }) => entry.all_well).pop();
  const looks = () => plan.ponds.map((one) => makeEntry("look", one.id, { all_well: true, wrong: [] }));
  const look = () => record(looks(), words.kinds.all_well);
  return html`<button type="button" class="look-row" onClick=${look}><${Icon} name="look" />
    <span>${words.round.all_well}
      <small>${last ? words.round.looked(clock(last.at, zone)) : words.round.all_well_hint}</small></span></button>`;
}

const BACK = 14;
const AHEAD = 13;

/** @param {{today: string, shown: string, onPick: (date: string) => void}} props */
export function DayStrip({ today, shown, onPick }) {
  const strip = useRef(/** @type {HTMLElement|null} */ (null));
  useEffect(() => {
    const here = /** @type {HTMLElement|null} */ (strip.current?.querySelector("[aria-current]") ?? null);
    if (!here || !strip.current) return;
    strip.current.scrollLeft = here.offsetLeft - strip.current.clientWidth / 2 + here.clientWidth / 2;
  }, [shown, today]);
  const dates = Array.from({ length: BACK + AHEAD + 1 }, (_, n) => addDays(today, n - BACK));
  return html`<nav class="day-strip" ref=${strip} aria-label=${words.round.days}>
    ${dates.map((date) => {
      const { weekday, day, month } = dayParts(date);
      return html`<button key=${date} type="button" class=${classes("day", date === today && "today")}
        aria-current=${date === shown ? "date" : undefined}
        onClick=${() => onPick(date)}><span>${weekday} </span><b>${day}</b>
        <span class="unseen"> ${month}</span></button>`;
    })}
  </nav>`;
}

const CALM_MS = 600;
let touched_at = -Infinity;
for (const kind of ["pointerdown", "pointermove", "pointerup", "pointercancel", "scroll", "keydown"]) {
  addEventListener(kind, () => { touched_at = performance.now(); }, { capture: true, passive: true });
}

/** `wanted`, but changing only once the screen has been left alone.
 * @template T @param {T} wanted @returns {[T, (now: T) => void]} what stands, and a way to change it at once */
export function useSettled(wanted) {
  const [stands, change] = useState(wanted);
  useEffect(() => {
    if (wanted === stands) return undefined;
    const began = performance.now();
    /** @type {ReturnType<typeof setTimeout>} */
    let timer;
    const look = () => {
      const left = CALM_MS - (performance.now() - Math.max(began, touched_at));
      if (left <= 0) change(() => wanted);
      else timer = setTimeout(look, left);
    };
    timer = setTimeout(look, CALM_MS);
    return () => clearTimeout(timer);
  }, [wanted, stands]);
  return [stands, (now) => change(() => now)];
}
