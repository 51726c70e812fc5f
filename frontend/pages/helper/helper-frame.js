// The frame around a helper's pages. No tabs lead anywhere else: there is the round, where things are, and what to do
// when something is wrong.
import { html, useEffect } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { handOverOf, helperStage, letGoOfPond } from "../../helper.js";
import { helperWords } from "../../words/helper-words.js";
import { askStart, flush } from "../../live.js";
import { GoingOn } from "../../parts/going-on.js";
import { Icon } from "../../parts/icons.js";
import { syncWords, UpdateBanner } from "../../parts/sync-line.js";
import { zoneOf } from "../../record.js";
import { useNow, useStore } from "../../store.js";
import { canWorkOffline } from "../../updates.js";
import { words } from "../../words.js";
import { HelperOver, HelperShut } from "./helper-end.js";
import { HelperInvite } from "./helper-invite.js";
import { HelperPhone } from "./helper-phone.js";
import { HelperRound } from "./helper-round.js";
import { HelperThings } from "./helper-things.js";
import { HelperWrong } from "./helper-wrong.js";
import { Trouble } from "../shell.js";

/** @param {{at: string, query: URLSearchParams}} props */
export function Helper({ at, query }) {
  const state = useStore();
  const now_ms = useNow();
  const end = useEnd(now_ms);
  const title = /** @type {Record<string, string>} */ (helperWords.titles)[query.has("wrong") ? "wrong" : at]
    ?? helperWords.titles.round;
  useEffect(() => { document.title = `${title} · evenwater`; }, [title]);
  useEffect(() => {
    document.documentElement.dataset.helping = "";
    return () => void delete document.documentElement.dataset.helping;
  }, []);
  if (at === "h") return html`<${HelperInvite} />`;
  if (end === "over") return html`<${HelperOver} />`;
  if (end === "shut") return html`<${HelperShut} />`;
  const runs = helperStage(state, civilDate(zoneOf(), now_ms)) === "runs";
  return html`<${Line} />
    ${runs && html`<${GoingOn} />`}
    <${Trouble} />
    <${UpdateBanner} />
    ${query.has("wrong") ? html`<${HelperWrong} id=${query.get("wrong") ?? ""} now_ms=${now_ms} />`
      : at === "things" ? html`<${HelperThings} />`
      : at === "device" ? html`<${HelperPhone} />`
      : state.ready && html`<${HelperRound} query=${query} />`}`;
}

/** Whether these days are over, or the link was ended before: by home's word, and the last day by the calendar too,
 * since the phone may be without signal then. Only on home's word does this phone let go of what it has.
 * @param {number} now_ms @returns {"over"|"shut"|null} */
function useEnd(now_ms) {
  const state = useStore();
  const { access, plan, sync, person, seen, waiting, helps } = state;
  const by_calendar = helperStage(state, civilDate(zoneOf(handOverOf(state)?.pond), now_ms)) === "over"
    && (plan !== null || access !== "signed_in");
  const shut = access === "sign_in" || access === "first_start";
  const over = access === "over" || by_calendar;
  const holds = plan !== null || seen.size > waiting.size || (shut && helps !== null && !helps.shut);
  const gone = person !== null && (access === "over" || shut) && holds;
  // Asked once and whenever signal is back; never with each call, which asking itself brings about.
  const to_ask = sync === "sign_in" || (by_calendar && sync !== "no_signal");
  useEffect(() => {
    if (to_ask && access !== "over" && !shut) askStart();
  }, [to_ask]);
  useEffect(() => {
    if (gone) letGoOfPond(shut).then(flush).catch(() => {});
  }, [gone]);
  return over ? "over" : shut ? "shut" : null;
}

/** How sending stands; it leads to what is kept on this phone. */
function Line() {
  const state = useStore();
  const { icon, text, loud } = syncWords(state, zoneOf(), useNow());
  return html`<header class="top"><p class=${`sync-line${loud ? " loud" : ""}`}>
    <${Icon} name=${icon} /><a href="/device"><span role="status">${text}</span></a>
    ${!canWorkOffline && html`<span class="only-home"><${Icon} name="home" />${words.sync.only_home}</span>`}
  </p></header>`;
}
