// What stands at the top: one honest line about what is sent, what waits, and why; and word of a new version.
import { html, classes, useState } from "../ui.js";
import { when } from "../formats.js";
import { Icon } from "./icons.js";
import { isHalfTyped } from "../router.js";
import { useStore } from "../store.js";
import { takeUpdate } from "../updates.js";
import { errorSentence, words } from "../words.js";

/** @param {import("../store.js").State} state @param {string} zone @returns {{icon: string, text: string, to: string, loud?: boolean}} */
export function syncWords(state, zone) {
  const n = state.waiting.size - state.deferred.size;
  const sent = state.last_sync_at ? words.sync.all_sent(when(state.last_sync_at, zone, Date.now())) : words.sync.not_yet;
  if (state.unstored > 0) return { icon: "warn", text: words.sync.in_memory(state.unstored), to: "/device", loud: true };
  if (state.set_aside.length > 0) return { icon: "aside", text: words.sync.aside(state.set_aside.length), to: "/book", loud: true };
  if (state.sync === "sign_in") return { icon: "key", text: words.sync.sign_in(n), to: "/sign-in", loud: true };
  if (state.sync === "trouble") {
    const why = state.problem ? errorSentence({ why: "busy", problem: state.problem }) : words.sync.busy;
    return { icon: "unheard", text: n > 0 ? `${words.sync.waiting(n)}, ${why}` : why, to: "/device" };
  }
  if (state.sync === "no_signal") {
    return { icon: "unheard", text: n > 0 ? `${words.sync.waiting(n)}, ${words.sync.no_signal}` : `${sent} · ${words.sync.no_signal}`, to: "/device" };
  }
  if (n > 0) return { icon: "waiting", text: state.sync === "sending" ? words.sync.sending(n) : words.sync.waiting(n), to: "/device" };
  return { icon: state.last_sync_at ? "sent" : "waiting", text: sent, to: "/device" };
}

/** @param {{zone: string, insecure: boolean}} props */
export function SyncLine({ zone, insecure }) {
  const state = useStore();
  const { icon, text, to, loud } = syncWords(state, zone);
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
    <button type="button" class="plain-button" onClick=${take}>${warned ? words.update.take_anyway : words.update.take}</button>
  </div>`;
}
