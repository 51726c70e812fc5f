// From a number on any page to how well such numbers did.
import { html } from "../../ui.js";
import { scoreWords } from "../../words/kit-words.js";
import { useStore } from "../../store.js";

/** Nothing while no forecast of that kind has met its day. @param {{subject: string, pond: string}} props */
export function ScoreLink({ subject, pond }) {
  const { plan } = useStore();
  const known = plan?.book?.find((one) => one.pond === pond)?.scores.some((one) => one.subject === subject);
  if (!known) return null;
  return html`<p><a class="text-link" href=${`/scores?of=${encodeURIComponent(subject)}`}>${scoreWords.link}</a></p>`;
}
