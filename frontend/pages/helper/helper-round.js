// A helper's round: today's jobs and nothing else; the days to come can be read. The day before, it is a rehearsal.
import { html, classes, useEffect } from "../../ui.js";
import { civilDate, daysBetween } from "../../domain/civil.js";
import { jobKey } from "../../domain/fold.js";
import { nameOf } from "../../domain/today.js";
import { clock, dayParts, shortDate } from "../../formats.js";
import { daysAhead, handOverOf, helperStage, keepPictures, picturesOf } from "../../helper.js";
import { helperWords, namesOf } from "../../words/helper-words.js";
import { Icon } from "../../parts/icons.js";
import { Notices } from "../../parts/notices.js";
import { keepTrial, zoneOf } from "../../record.js";
import { go } from "../../router.js";
import { useNow, useStore } from "../../store.js";
import { words } from "../../words.js";
import { HelperStop } from "./helper-stop.js";
import { Ring } from "./helper-ring.js";
import { AllWell, Walk } from "../round/round.js";
import { isOpen } from "../round/round-view.js";

/** @typedef {import("../../domain/hand-overs.js").HandOver} HandOver */
/** @typedef {import("../round/round-view.js").Stop} Stop */

/** @param {{query: URLSearchParams}} props */
export function HelperRound({ query }) {
  const state = useStore();
  const { plan } = state;
  const now_ms = useNow();
  const zone = zoneOf();
  const today = civilDate(zone, now_ms);
  const stage = helperStage(state, today);
  const days = daysAhead(state, today);
  const picked = query.get("day") ?? "";
  const shown = days.includes(picked) ? picked : days.includes(today) || !days.length ? today : days[0];
  const hand_over = handOverOf(state);
  usePictures();
  useEffect(() => {
    if (stage === "runs" && state.trial.length > 0) keepTrial([]);
  }, [stage, state.trial.length]);
  return html`<main class="page round helper">
    <${Head} hand_over=${hand_over} today=${today} shown=${shown} stage=${stage} />
    ${stage === "rehearsal" && html`<${Rehearsal} />`}
    ${stage === "to_come" && hand_over && html`<p class="notice">
      ${helperWords.to_come(shortDate(hand_over.begins_on ?? today))}
      ${" "}${days[0] < (hand_over.begins_on ?? "") && helperWords.rehearsal_day(shortDate(days[0]))}</p>`}
    ${shown === today && html`<${Notices} />`}
    ${days.length > 1 && html`<${Days} days=${days} today=${today} shown=${shown} />`}
    ${hand_over?.words && html`<${Said} said=${hand_over.words} />`}
    <${Walk} key=${plan ? shown : "waiting"} plan=${plan} date=${shown} today=${today} now_ms=${now_ms} zone=${zone}
      Stop=${HelperStop} down=${helperWords.not_needed} expired=${helperWords.expired}
      judged=${(/** @type {Stop[]} */ stops) => withRefused(stops, state.set_aside, zone)} />
    ${shown !== today && days.includes(today) && html`<p class="centre">
      <a class="plain-button" href="/round">${words.round.back_to_today}</a></p>`}
    <div class="beside">
      ${shown === today && stage === "runs" && html`<${AllWell} today=${today} zone=${zone} />`}
      <a class="choice" href="/things"><span>${helperWords.things}<small>${helperWords.things_hint}</small></span>
        <${Icon} name="on" /></a>
      <a class="wrong-row" href="/round?wrong"><${Icon} name="warn" />
        <span>${words.wrong.title}<small>${words.wrong.hint}</small></span></a>
      ${plan && !plan.days.some((day) => day.jobs.some((job) => job.shape === "feed"))
        && html`<p class="inset">${helperWords.no_food}</p>`}
      <p class="in-doubt inset">${helperWords.doubt}</p>
      <${Ring} calm=${true} />
    </div>
  </main>`;
}

/** A bag that was given and could not be taken stays shut all the same: it is in the water.
 * @param {Stop[]} stops @param {{entry: import("../../domain/types.js").Entry}[]} set_aside @param {string} zone
 * @returns {Stop[]} */
function withRefused(stops, set_aside, zone) {
  const given = new Map(set_aside.filter(({ entry }) => entry.kind === "tick")
    .map(({ entry }) => [nameOf({ pond: entry.pond, id: jobKey(entry) }), entry]));
  return stops.map((stop) => {
    const entry = given.get(nameOf(stop.job));
    if (!stop.job.bag || !entry || !isOpen(stop)) return stop;
    const reason = helperWords.refused(clock(entry.happened_at, zone));
    return { ...stop, now: { ...stop.now, state: "not_known", reason } };
  });
}

/** Every picture of the days ahead is fetched while there is signal. */
function usePictures() {
  const state = useStore();
  const wanted = picturesOf(state).join(" ");
  useEffect(() => {
    if (wanted) keepPictures(wanted.split(" ")).catch(() => {});
  }, [wanted, state.last_sync_at]);
}

/** @param {{hand_over: HandOver|null, today: string, shown: string, stage: string}} props */
function Head({ hand_over, today, shown, stage }) {
  const { begins_on, ends_on } = hand_over ?? {};
  const days = begins_on && ends_on ? daysBetween(begins_on, ends_on) + 1 : 0;
  const day = begins_on ? daysBetween(begins_on, shown) + 1 : 0;
  const title = shown === today && stage === "rehearsal" ? helperWords.rehearsal
    : shown === today ? words.round.today : shortDate(shown);
  const more = [shown === today && shortDate(today), day > 0 && days > 0 && helperWords.day(day, days),
    ends_on === shown ? helperWords.last_day : ends_on && helperWords.until(shortDate(ends_on))];
  return html`<header class="page-head"><div>
    <h1>${title}</h1><p class="quiet">${more.filter(Boolean).join(" · ")}</p></div></header>`;
}

function Rehearsal() {
  const { trial } = useStore();
  return html`<div class="notice"><p><strong>${helperWords.rehearsal}.</strong> ${helperWords.rehearsal_what}</p>
    ${trial.length > 0 && html`<button type="button" class="plain-button"
      onClick=${() => keepTrial([])}>${helperWords.begin_again}</button>`}</div>`;
}

/** What the keepers wrote; a long one folds. @param {{said: string}} props */
function Said({ said }) {
  const { helps } = useStore();
  const from = helps?.keeper_names.length ? namesOf(helps.keeper_names) : helperWords.invite.keepers;
  const lines = said.split("\n").filter(Boolean);
  return html`<details class="said" open=${said.length < 200}><summary>${helperWords.from_keepers(from)}</summary>
    ${lines.map((line) => html`<p key=${line}>${line}</p>`)}</details>`;
}

/** @param {{days: string[], today: string, shown: string}} props */
function Days({ days, today, shown }) {
  return html`<nav class="day-strip" aria-label=${words.round.days}>${days.map((date) => {
    const { weekday, day, month } = dayParts(date);
    return html`<button key=${date} type="button" class=${classes("day", date === today && "today")}
      aria-current=${date === shown ? "date" : undefined}
      onClick=${() => go(date === today ? "/round" : `/round?day=${date}`)}><span>${weekday} </span><b>${day}</b>
      <span class="unseen"> ${month}</span></button>`;
  })}</nav>`;
}
