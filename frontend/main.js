// Joins the parts and starts the app.
import { html, render } from "./ui.js";
import { begin, askStart } from "./live.js";
import { Shell } from "./pages/shell.js";
import { watchForInstall } from "./install.js";
import { guardTyping } from "./router.js";
import { watchForUpdates } from "./updates.js";

async function start() {
  guardTyping();
  watchForInstall();
  // The database opens while the frame is drawn.
  const begun = begin();
  render(html`<${Shell} />`, /** @type {HTMLElement} */ (document.getElementById("app")));
  await begun;
  await Promise.all([askStart(), watchForUpdates()]);
}

if (document.documentElement.dataset.floor !== "below") start();
