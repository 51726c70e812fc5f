// Which photos of a time go into its report: asked of home, since a phone holds few of them.
import { html, useEffect, useState } from "../../ui.js";
import { dayAndMonth } from "../../formats.js";
import { ask } from "../../offline/server.js";
import { errorSentence } from "../../words.js";
import { reportWords } from "../../words/report-words.js";

/** @typedef {{sum: string, on: string, fish: string|null, name: string|null}} Taken   as the server's
 * domain/report/photos.py */

/** As the server's domain/report/asked.py. */
export const MOST_PHOTOS = 24;
const W = reportWords;

/** @param {{pond: string, first: string, last: string, chosen: string[], onChoose: (sum: string) => void,
 *   error: string}} props */
export function ReportPhotos({ pond, first, last, chosen, onChoose, error }) {
  const [open, unfold] = useState(chosen.length > 0);
  const [taken, tell] = useState(/** @type {Taken[]|null} */ (null));
  const [problem, fail] = useState("");
  useEffect(() => {
    if (!open) return undefined;
    let stale = false;
    tell(null);
    ask("GET", `/api/season-report/photos?${new URLSearchParams({ pond, first, last })}`, undefined, Array.isArray)
      .then((answer) => {
        if (stale) return;
        tell(answer.ok ? answer.data : []);
        fail(answer.ok ? "" : answer.why === "no_signal" ? W.offline : errorSentence(answer));
      });
    return () => void (stale = true);
  }, [open, pond, first, last]);
  const says = problem || (!taken ? W.pick_wait : taken.length === 0 ? W.pick_none : "");
  return html`<details class="card-section" open=${open} onToggle=${(event) => unfold(event.currentTarget.open)}>
    <summary><h2>${W.pick}</h2><span class="quiet">${W.picked(chosen.length)}</span></summary>
    <p class="quiet">${W.pick_hint}</p>
    ${says && html`<p role="status">${says}</p>`}
    ${taken && taken.length > 0 && html`<div class="report-photos">${taken.map((one) => html`<label key=${one.sum}>
      <img src=${`/api/photos/${one.sum}/small`} alt="" loading="lazy" />
      <span><input type="checkbox" checked=${chosen.includes(one.sum)} onChange=${() => onChoose(one.sum)} />
        ${[one.name, dayAndMonth(one.on)].filter(Boolean).join(", ")}</span></label>`)}</div>`}
    ${error && html`<p class="form-error" role="alert" data-wrong tabindex="-1">${error}</p>`}
  </details>`;
}
