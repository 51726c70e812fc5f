// The round: today's jobs in the order one walks them.
import { html, useRef, useState } from "../../ui.js";
import { civilDate, daysBetween } from "../../domain/civil.js";
import { nameOf } from "../../domain/today.js";
import { untold } from "../../domain/untold.js";
import { clock, dayAndMonth, shortDate, when } from "../../formats.js";
import { DayStrip } from "./day-strip.js";
import { onIt } from "../on-it.js";
import { RoundStop } from "./round-stop.js";
import {
  asPlanned, byLateness, dayGoneBy, isAway, isLate, isOpen, lateFirst, leftFromYesterday, nextStop, recordedOn,
  slipping, stopsOn, walk,
} from "./round-view.js";
import { Wrong } from "./wrong.js";
import { WaterOn } from "../../parts/going-starts.js";
import { Icon } from "../../parts/icons.js";
import { LaterPart } from "../../parts/later-part.js";
import { Notices } from "../../parts/notices.js";
import { untilWords } from "../../parts/job-line.js";
import { useSettled } from "../../parts/settled.js";
import { makeEntry, record, zoneOf } from "../../record.js";
import { roundWords } from "../../words/round-words.js";
import { go, useHalfTyped } from "../../router.js";
import { useNow, useStore } from "../../store.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Plan} Plan */

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
    <${DayStrip} today=${today} shown=${shown} now_ms=${now_ms}
      onPick=${(date) => go(date === today ? "/round" : `/round?day=${date}`)} />
    ${shown === today && html`<${Notices} onIt=${onIt} />`}
    ${shown < today ? html`<${LaterPart} name="past-day" date=${shown} now_ms=${now_ms} />`
      : html`<${Walk} key=${plan ? shown : "waiting"} plan=${plan} date=${shown} today=${today} now_ms=${now_ms}
        zone=${zone} />`}
    ${shown !== today && html`<p class="centre">
      <a class="plain-button" href="/round">${words.round.back_to_today}</a></p>`}
    <div class="beside">
      ${shown === today && html`<${AllWell} today=${today} zone=${zone} />`}
      ${shown === today && html`<${WaterOn} />`}
      ${shown === today && html`<${LaterPart} name="install-hint" />`}
      ${shown === today && html`<${ToTell} plan=${plan} />`}
      <a class="choice" href="/year"><span>${roundWords.year}<small>${roundWords.year_hint}</small></span>
        <${Icon} name="on" /></a>
      <a class="wrong-row" href="/round?wrong"><${Icon} name="warn" />
        <span>${words.wrong.title}<small>${words.wrong.hint}</small></span></a>
    </div>
  </main>`;
}

/** @param {{plan: Plan|null, today: string, shown: string, now_ms: number, zone: string}} props */
function Head({ plan, today, shown, now_ms, zone }) {
  const { seen, drafts } = useStore();
  const day = plan?.days.find((one) => one.date === shown);
  const ahead = daysBetween(today, shown);
  const stops = plan && ahead >= 0 ? stopsOn(plan, seen, drafts, shown, now_ms).filter(isOpen) : [];
  const minutes = stops.reduce((sum, { job }) => sum + job.minutes, 0);
  const dusk_near = day?.dusk_at && now_ms > Date.parse(day.dusk_at) - 2 * 3600000;
  const title = ahead !== 0 ? shortDate(shown) : dusk_near ? words.round.tonight : words.round.today;
  const over = stops.length === 0 && day && day.jobs.length > 0 ? words.round.all_done : "";
  const some_over = ahead === 0 && minutes < (day?.minutes ?? 0);
  const left = minutes > 0 ? (some_over ? roundWords.left : words.round.minutes)(minutes) : over;
  const more = [ahead === 0 && dayAndMonth(today), day?.dusk_at && words.round.dusk(clock(day.dusk_at, zone)),
    ahead >= 0 && left, ahead >= 0 && day?.load && roundWords.load[day.load],
    ahead < 0 && wentWords(plan, seen, shown, now_ms)];
  const slips = day?.load === "heavy" && ahead >= 0 ? slipping(stops, now_ms).map(({ job }) =>
    roundWords.slip(job.text, untilWords(job.waits_until ?? "", zone, now_ms))) : [];
  return html`<header class="page-head">
    <div><h1>${title}</h1><p class="quiet">${more.filter(Boolean).join(" · ")}</p>
      ${slips.length > 0 && html`<p class="quiet">${roundWords.slips(slips.join(", "))}</p>`}
      ${ahead >= 0 && (day?.says ?? []).map((said) => html`<p class="quiet" key=${said}>${said}</p>`)}</div>
    <a class="round-button" href="/water?add">${words.round.add_reading}</a>
  </header>`;
}

/** "4 done · 1 missed" @param {Plan|null} plan @param {Map<string, import("../../domain/types.js").Seen>} seen
 * @param {string} date @param {number} now_ms */
function wentWords(plan, seen, date, now_ms) {
  const { done, missed } = dayGoneBy(plan, seen, date, now_ms);
  return [done > 0 && roundWords.done(done), missed > 0 && roundWords.missed(missed)].filter(Boolean).join(" · ");
}

/** @typedef {import("./round-view.js").Stop[]} Stops */

/** `Stop` draws one; `down`: how those that stand down are called; `expired`: what is said of a plan past its end;
 * `judged`: what more stops a job.
 * @param {{plan: Plan|null, date: string, today: string, now_ms: number, zone: string, Stop?: any,
 *   down?: (n: number) => string, expired?: (at: string) => string, judged?: (stops: Stops) => Stops}} props */
export function Walk({ plan, date, today, now_ms, zone, Stop = RoundStop, down = words.round.stood_down,
  expired = words.round.expired, judged = (stops) => stops }) {
  const { seen, drafts } = useStore();
  const [chosen, choose] = useState(/** @type {string|null} */ (null));
  useHalfTyped(Object.values(drafts).some(Boolean));
  const live = date === today;
  const all = plan ? stopsOn(plan, seen, drafts, date, now_ms) : [];
  const left = plan && live ? leftFromYesterday(plan, seen, drafts, today, now_ms, all) : [];
  const stops = judged([...left, ...live ? all : asPlanned(all)]);
  const [late, rest] = useLateFirst(live ? stops : [], stops, now_ms);
  const first = live ? nextStop([...late, ...rest], now_ms) : undefined;
  const next = first ? nameOf(first.job) : null;
  const wanted = stops.some(({ job, now }) => nameOf(job) === chosen && now.answers.length === 0) ? chosen : next;
  const [open, openNow] = useSettled(wanted);
  const parts = [...lateFirst(late), ...walk(rest.filter((stop) => nameOf(stop.job) === open || !isAway(stop)))];
  // A part that is over folds its places away; like the next card, only once the hand is off the screen.
  const [over] = useSettled(parts.filter((part) => part.answered).map((part) => part.part).join(" "));
  const walked = parts.map((part) => ({ ...part, answered: over.includes(part.part) }));
  if (!plan || stops.length === 0) return html`<${NoStops} plan=${plan} date=${date} now_ms=${now_ms} />`;
  const pick = (id) => {
    choose(id);
    openNow(id);
  };
  const draw = (stop) => {
    const name = nameOf(stop.job);
    return html`<${Stop} key=${name} stop=${stop} open=${open === name} next=${next === name} live=${live}
      zone=${zone} now_ms=${now_ms} onOpen=${() => pick(name)} />`;
  };
  const away = rest.filter((stop) => nameOf(stop.job) !== open && isAway(stop));
  return html`<${StaleWords} plan=${plan} today=${today} now_ms=${now_ms} zone=${zone} expired=${expired} />
    ${walked.map((part) => html`<section key=${part.part} class="part">
      <h2>${partName(part.part)} <span class="quiet">${partWords(part, zone)}</span></h2>
      <ol class="path">${part.places.flatMap((place) => [
        !part.answered && html`<li class="place" key=${`at ${place.place}`}><h3>${place.place}</h3></li>`,
        ...place.stops.map(draw)])}</ol>
    </section>`)}
    ${away.length > 0 && html`<details class="stood-down"><summary>${down(away.length)}</summary>
      <ol class="path">${away.map(draw)}</ol></details>`}`;
}

/** The late stops apart from the others. One that was late keeps its place when it is answered, and none moves under
 * the hand. @param {import("./round-view.js").Stop[]} live @param {import("./round-view.js").Stop[]} stops
 * @param {number} now_ms @returns {[import("./round-view.js").Stop[], import("./round-view.js").Stop[]]} */
function useLateFirst(live, stops, now_ms) {
  const once = useRef(/** @type {Set<string>} */ (new Set()));
  for (const stop of live) if (isLate(stop, now_ms)) once.current.add(nameOf(stop.job));
  const [ids] = useSettled([...once.current].join(" "));
  const late = new Set(ids.split(" "));
  return [byLateness(stops.filter((stop) => late.has(nameOf(stop.job))), now_ms),
    stops.filter((stop) => !late.has(nameOf(stop.job)))];
}

/** @param {string} part */
function partName(part) {
  return part === "late" ? roundWords.late_part : /** @type {any} */ (words.parts)[part];
}

/** @param {import("./round-view.js").Part} part @param {string} zone */
function partWords(part, zone) {
  if (part.answered) return words.round.all_done;
  if (part.part === "late") return roundWords.late_hint;
  return part.upcoming ? words.round.from(clock(part.opens_at, zone)) : words.round.until(clock(part.closes_at, zone));
}

/** @param {{plan: Plan, today: string, now_ms: number, zone: string, expired: (at: string) => string}} props */
function StaleWords({ plan, today, now_ms, zone, expired }) {
  const made = when(plan.made_at, zone, now_ms);
  if (now_ms > Date.parse(plan.good_until)) {
    return html`<p class="notice">${expired(when(plan.good_until, zone, now_ms))}</p>`;
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

/** How much of the ponds is not told yet. @param {{plan: Plan|null}} props */
function ToTell({ plan }) {
  const asked = plan?.ponds.flatMap((pond) => untold(pond, plan)).length ?? 0;
  return asked > 0 && html`<a class="choice" href="/to-tell"><span>${roundWords.to_tell(asked)}
    <small>${roundWords.to_tell_hint}</small></span><${Icon} name="on" /></a>`;
}

/** @param {{today: string, zone: string}} props */
export function AllWell({ today, zone }) {
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
