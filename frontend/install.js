// Putting the app on the home screen: whether it is there already, and how this browser lets one do it.
import { update } from "./store.js";

/** The browser's own question, kept until a person asks for it: it comes once, early, and unasked.
 * @type {(Event & {prompt: () => Promise<{outcome: string}>})|null} */
let question = null;

export function watchForInstall() {
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    question = /** @type {any} */ (event);
    update(() => ({ installable: true }));
  });
  addEventListener("appinstalled", () => {
    question = null;
    update(() => ({ installable: false }));
  });
}

export function onHomeScreen() {
  return matchMedia("(display-mode: standalone)").matches || /** @type {any} */ (navigator).standalone === true;
}

/** Safari on a phone or tablet of Apple's asks nothing by itself; only its own menu can do it. */
export function onlyByMenu() {
  return "standalone" in navigator;
}

/** Let the browser ask; it does so once. */
export async function askToInstall() {
  const asked = question;
  question = null;
  await asked?.prompt();
  update(() => ({ installable: false }));
}
