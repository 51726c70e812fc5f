// The way onto the home screen: on the device's page always, on the round until it was taken or put away.
import { html, useState } from "../ui.js";
import { recall, remember } from "../device-memory.js";
import { askToInstall, onHomeScreen, onlyByMenu } from "../install.js";
import { useStore } from "../store.js";
import { canWorkOffline } from "../updates.js";
import { deviceWords } from "../words/device-words.js";

const W = deviceWords;
const PUT_AWAY = "evenwater-install-put-away";

export function InstallHere() {
  const { installable } = useStore();
  return html`<section class="card-section"><h2>${W.install}</h2>
    ${onHomeScreen() ? html`<p>${W.install_is}</p>` : html`<p>${canWorkOffline ? W.install_why : W.install_not}</p>
      ${canWorkOffline && html`<${How} installable=${installable} />`}`}</section>`;
}

/** One line on the round, only where this browser can do it. */
export function InstallHint() {
  const { installable } = useStore();
  const [away, put] = useState(recall(PUT_AWAY) !== null);
  if (away || onHomeScreen() || !canWorkOffline || !(installable || onlyByMenu())) return null;
  const later = () => {
    remember(PUT_AWAY, "yes");
    put(true);
  };
  return html`<section class="notice bare" aria-label=${W.install}><p>${W.install_why}</p>
    <${How} installable=${installable} />
    <p><button type="button" class="text-button" onClick=${later}>${W.install_later}</button></p></section>`;
}

/** @param {{installable: boolean}} props */
function How({ installable }) {
  if (installable) return html`<button type="button" class="plain-button"
    onClick=${askToInstall}>${W.install_ask}</button>`;
  return html`<p class="quiet">${onlyByMenu() ? W.install_apple : W.install_menu}</p>`;
}
