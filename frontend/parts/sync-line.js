// What stands at the top: one honest line about what is sent, what waits, and why; and word of a new version.
import { html, classes, useState } from "../ui.js";
import { when } from "../formats.js";
import { Icon } from "./icons.js";
import { isHalfTyped } from "../router.js";
import { useNow, useStore } from "../store.js";
import { takeUpdate } from "../updates.js";
import { errorSentence, words } from "../words.js";

/** @param {import("../store.js").State} state @param {string} zone @param {number} now_ms
 * @returns {{icon: string, text: string, to: string, loud?: boolean}} */
export function syncWords(state, zone, now_ms) {
  const mine = [...state.waiting].filter((id) => state.seen.get(id)?.entry.author === state.person?.id);
  const n = mine.filter((id) => !state.deferred.has(id)).length;
  const others = state.waiting.size - mine.length;
  const sent = state.last_sync_at ? words.sync.all_sent(when(state.last_sync_at, zone, now_ms)) : words.sync.not_yet;
  const loud = true;
  const aside = state.set_aside.length;
  if (state.unstored > 0) return { icon: "warn", text: words.sync.in_memory(state.unstored), to: "/device", loud };
  if (aside > 0) return { icon: "aside", text: words.sync.aside(aside), to: "/book", loud };
  if (state.sync === "sign_in") return { icon: "key", text: words.sync.sign_in(n), to: "/sign-in", loud };
  if (state.sync === "trouble") {
    const why = state.problem ? errorSentence({ why: "busy", problem: state.problem }) : words.sync.busy;
    return { icon: "unheard", text: n > 0 ? `${words.sync.waiting(n)}, ${why}` : why, to: "/device" };
  }
  if (state.sync === "no_signal") {
    const held = n > 0 ? `${words.sync.waiting(n)},` : `${sent} ·`;
    return { icon: "unheard", text: `${held} ${words.sync.no_signal}`, to: "/device" };
  }
  const now = state.sync === "sending" ? words.sync.sending : words.sync.waiting;
  if (n > 0) return { icon: "waiting", text: now(n), to: "/device" };
  if (others > 0) return { icon: "waiting", text: `${sent} · ${words.sync.others(others)}`, to: "/device" };
  const photos = [...state.photos.values()].filter((one) => one.state === "waiting").length;
  if (photos > 0) return { icon: "waiting", text: `${sent} · ${words.sync.photos(photos)}`, to: "/device" };
  return { icon: state.last_sync_at ? "sent" : "waiting", text: sent, to: "/device" };
}

/** @param {{zone: string, insecure: boolean}} props */
export function SyncLine({ zone, insecure }) {
  const state = useStore();
  const { icon, text, to, loud } = syncWords(state, zone, useNow());
  return html`<p class=${classes("sync-line", loud && "loud")}>
    <${Icon} name=${icon} />
    <a href=${to}><span role="status">${text}</span></a>
    ${insecure && html`<span class="only-home"><${Icon} name="home" />${words.sync.only_home}</span>`}
  </p>`;
}

export function UpdateBanner() {
  const { update_ready } = useStore();
  const [warned, warn] = useState(false);
  if (!update_ready) return null;
  const take = () => (isHalfTyped() && !warned ? warn(true) : takeUpdate());
  return html`<div class="notice update" role="status">
    <p>${warned ? words.update.half_typed : words.update.ready}</p>
    <button type="button" class="plain-button"
      onClick=${take}>${warned ? words.update.take_anyway : words.update.take}</button>
  </div>`;
}
