// What is going on at the pond and must not be forgotten, on every screen: water that runs in, with its clock; the
// power that is out, or just back, with the first steps. All of it from entries, so it is there without signal, after
// a reload and on the other phone.
import { html, classes, useEffect, useState } from "../ui.js";
import { powerBack, powerOut, waterRunning } from "../domain/events.js";
import { standingOf } from "../domain/fold.js";
import { clock, when } from "../formats.js";
import { makeEntry, record, zoneOf } from "../record.js";
import { roundWords } from "../words/round-words.js";
import { say, useNow, useStore } from "../store.js";
import { words } from "../words.js";
import { useAwake } from "./awake.js";
import { Icon } from "./icons.js";

/** @typedef {import("../domain/types.js").Pond} Pond */
/** @typedef {import("../domain/types.js").Seen} Seen */
/** @typedef {import("../domain/events.js").Running} Running */

export function GoingOn() {
  const { plan, seen, person } = useStore();
  const now_ms = useNow();
  const facts = standingOf(seen);
  const ponds = (plan?.ponds ?? []).flatMap((pond) => {
    const running = waterIn(pond, facts, now_ms);
    return running ? [{ pond, running }] : [];
  });
  const out = powerOut(facts, now_ms);
  const back = powerBack(facts, now_ms);
  useAwake(ponds.length > 0);
  if (!person) return null;
  return html`${ponds.map(({ pond, running }) => html`<${WaterClock} key=${pond.id} pond=${pond} running=${running}
      named=${(plan?.ponds.length ?? 0) > 1} />`)}
    ${out && html`<${PowerOut} out=${out} now_ms=${now_ms} />`}
    ${back && !lookedSince(facts, back.back_at) && html`<${PowerBack} back=${back} />`}`;
}

/** @param {Pond} pond @param {Seen[]} facts @param {number} now_ms @returns {Running|null} */
export function waterIn(pond, facts, now_ms) {
  return waterRunning(facts, now_ms, pond.id, pond.water_running_limit_min);
}

/** @param {Seen[]} facts @param {string} at */
function lookedSince(facts, at) {
  return facts.some((one) => one.entry.all_well && Date.parse(one.at) > Date.parse(at));
}

/** Draw again each second, but only while somebody can see it. */
function useSeconds() {
  const [, again] = useState(0);
  useEffect(() => {
    const tick = () => document.visibilityState === "visible" && again((n) => n + 1);
    const timer = setInterval(tick, 1000);
    document.addEventListener("visibilitychange", tick);
    return () => {
      clearInterval(timer);
      document.removeEventListener("visibilitychange", tick);
    };
  }, []);
}

/** "12:34", "1:02:03" @param {number} ms */
export function runningClock(ms) {
  const s = Math.max(0, Math.floor(ms / 1000));
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  const [hours, minutes] = [Math.floor(s / 3600), Math.floor(s / 60) % 60];
  return hours > 0 ? `${hours}:${two(minutes)}:${two(s % 60)}` : `${minutes}:${two(s % 60)}`;
}

/** Whose seriousness was said already: once is enough. @type {Set<string>} */
const said = new Set();

/** @param {{pond: Pond, running: Running, named: boolean}} props */
function WaterClock({ pond, running, named }) {
  useSeconds();
  const now_ms = useNow();
  const serious = now_ms >= Date.parse(running.serious_at);
  const limit = Math.round(running.limit_min);
  useEffect(() => {
    const name = `${pond.id}/${running.since}`;
    if (!serious || said.has(name)) return;
    said.add(name);
    say(roundWords.water_serious(limit));
  }, [serious, running.since]);
  const lasted = runningClock(now_ms - Date.parse(running.since));
  const shut = () => record([makeEntry("water_running", pond.id, { running: false })], roundWords.water_shut(lasted));
  const title = named ? `${roundWords.water_runs}, ${pond.name}` : roundWords.water_runs;
  return html`<section class=${classes("going-on", "water-on", serious && "serious")} aria-label=${title}>
    <${Icon} name=${serious ? "act_now" : "drop"} />
    <p class="going-what"><b>${roundWords.water_runs}</b> <span role="timer" class="lasted">${lasted}</span></p>
    <button type="button" class="plain-button" onClick=${shut}>${roundWords.shut}</button>
    <p class="going-more">${[named && `${pond.name}.`,
      serious ? roundWords.water_serious(limit) : roundWords.serious_after(limit),
      roundWords.from_where(running.dechlorinated)].filter(Boolean).join(" ")}</p>
  </section>`;
}

/** @param {{id: string, fallback: string[]}} props */
function Steps({ id, fallback }) {
  const { plan } = useStore();
  const steps = plan?.troubles.find((one) => one.id === id)?.steps ?? fallback;
  return html`<details class="going-steps" open><summary>${roundWords.first_steps}</summary>
    <ol>${steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol></details>`;
}

/** "34 min", "2 h 10 min" @param {number} minutes */
function lastedWords(minutes) {
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

/** @param {{out: import("../domain/events.js").Out, now_ms: number}} props */
function PowerOut({ out, now_ms }) {
  const { plan, seen } = useStore();
  const zone = zoneOf();
  const told = standingOf(seen).find(({ entry, at }) => entry.kind === "power" && at === out.since);
  const back = () => record([makeEntry("power", told?.entry.pond ?? plan?.ponds[0].id ?? "", { on: true })],
    roundWords.power_back(lastedWords(out.minutes)));
  const sent = told?.seq ? words.wrong.sent(clock(out.since, zone)) : words.wrong.not_sent;
  return html`<section class="going-on power-out" aria-label=${roundWords.power_out}>
    <${Icon} name="act_now" />
    <p class="going-what"><b>${roundWords.power_out}</b> <span class="lasted">${lastedWords(out.minutes)}</span></p>
    <button type="button" class="plain-button" onClick=${back}>${roundWords.power_is_back}</button>
    <p class="going-more">${roundWords.since(when(out.since, zone, now_ms))} · ${sent}
      ${" "}<a href="/round?wrong">${roundWords.whom_to_ring}</a></p>
    ${out.rinse && html`<p class="going-note">${roundWords.rinse}</p>`}
    <${Steps} id=${out.trouble} fallback=${roundWords.power_out_steps} />
  </section>`;
}

/** @param {{back: import("../domain/events.js").Back}} props */
function PowerBack({ back }) {
  const { plan } = useStore();
  const look = () => record((plan?.ponds ?? []).map((pond) =>
    makeEntry("look", pond.id, { all_well: true, wrong: [] })), words.kinds.all_well);
  return html`<section class="going-on power-back" aria-label=${roundWords.power_is_back}>
    <${Icon} name="look" />
    <p class="going-what"><b>${roundWords.power_back(lastedWords(back.minutes))}</b></p>
    <button type="button" class="plain-button" onClick=${look}>${words.round.all_well}</button>
    <p class="going-more">${roundWords.until_looked}</p>
    ${back.rinse && html`<p class="going-note">${roundWords.rinse}</p>`}
    <${Steps} id=${back.trouble} fallback=${roundWords.power_back_steps} />
  </section>`;
}
