// A part of a page whose code comes with the second script; until then its place is empty.
import { html, useEffect } from "../ui.js";
import { fetchLaterSoon, laterPage } from "../later-pages.js";
import { usePicked } from "../store.js";
import { words } from "../words.js";

/** @param {{name: string, [more: string]: any}} props */
export function LaterPart({ name, ...props }) {
  const [later] = usePicked((now) => [now.later]);
  useEffect(fetchLaterSoon, []);
  const Part = laterPage(name);
  if (Part) return html`<${Part} ...${props} />`;
  return later === "failed" ? html`<p class="quiet">${words.later.failed}</p>` : null;
}
