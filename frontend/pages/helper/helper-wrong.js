// Something is wrong, for a helper: what it is, three first steps, whom to ring; then what they see, with a photo, to
// the keepers. It says at once whether that was sent.
import { html, useEffect, useState } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { clock } from "../../formats.js";
import { handOverOf, helperStage } from "../../helper.js";
import { helperWords, namesOf } from "../../words/helper-words.js";
import { usePhotosOf } from "../../parts/after-photo.js";
import { PondPick, TextField } from "../../parts/fields.js";
import { PowerGone } from "../../parts/going-starts.js";
import { Icon } from "../../parts/icons.js";
import { PhotoField } from "../../parts/photo-field.js";
import { PhotoStrip } from "../../parts/photo-strip.js";
import { makeEntry, record, zoneOf } from "../../record.js";
import { useHalfTyped } from "../../router.js";
import { useStore } from "../../store.js";
import { words } from "../../words.js";
import { Ring } from "./helper-ring.js";

/** How long "sending" may stand before the honest answer is to ring. */
const PATIENCE_MS = 8000;
/** Begun with one tap, which brings the steps along; or nothing a helper has to find in a list. */
const NOT_LISTED = new Set(["power-out", "power-back"]);
/** What a stranger may meet besides the keepers' troubles; home knows them as what was not well, and the words. */
const MORE = [
  { id: "ill", title: helperWords.wrong_ill, steps: helperWords.wrong_ill_steps, wrong: ["fish"] },
  { id: "other", title: helperWords.wrong_other, steps: helperWords.wrong_other_steps, wrong: [] },
];

/** @param {{id: string, now_ms: number}} props */
export function HelperWrong({ id, now_ms }) {
  const { plan } = useStore();
  const trouble = [...plan?.troubles ?? [], ...MORE].find((one) => one.id === id);
  return html`<main class="page wrong helper">
    <header class="page-head"><h1>${trouble ? trouble.title : words.wrong.title}</h1></header>
    ${trouble ? html`<h2 class="inset">${words.wrong.steps}</h2>
        <ol class="first-steps">${trouble.steps.map((step) => html`<li key=${step}>${step}</li>`)}</ol>`
      : html`<${Pick} now_ms=${now_ms} />`}
    <p class="in-doubt inset">${helperWords.doubt}</p>
    <${Ring} />
    ${trouble && html`<${Tell} key=${id} trouble=${trouble} now_ms=${now_ms} />`}
    <p class="centre"><a class="plain-button" href="/round">${words.wrong.back}</a></p>
  </main>`;
}

/** @param {{now_ms: number}} props */
function Pick({ now_ms }) {
  const state = useStore();
  const runs = helperStage(state, civilDate(zoneOf(), now_ms)) === "runs";
  const troubles = [...state.plan?.troubles ?? [], ...MORE].filter((one) => !runs || !NOT_LISTED.has(one.id));
  return html`${!state.plan && html`<p class="notice act">${words.wrong.none}</p>`}
    <h2 class="inset">${words.wrong.pick}</h2>
    ${runs && html`<${PowerGone} />`}
    <ul class="choices">${troubles.map((one) => html`<li key=${one.id}><a class="choice"
      href=${`/round?wrong=${one.id}`}><span>${one.title}</span><${Icon} name="on" /></a></li>`)}</ul>`;
}

/** @param {{trouble: {id: string, title: string, wrong?: string[]}, now_ms: number}} props */
function Tell({ trouble, now_ms }) {
  const state = useStore();
  const { plan, seen, person, helps } = state;
  const [ids, keep] = useState(/** @type {string[]} */ ([]));
  const [text, type] = useState("");
  // Nothing waits for a photo here: one that comes late goes with a note.
  const [photos, pick] = usePhotosOf(ids.length > 0, (late) =>
    record([makeEntry("note", pond ?? "", { text: trouble.title, photos: late })]), true);
  useHalfTyped(ids.length === 0 && (text !== "" || photos.length > 0));
  // Their own ponds: where it was made may be none of them.
  const ponds = plan?.ponds ?? [];
  const pond = (ponds.find((one) => one.id === state.pond) ?? ponds[0])?.id ?? handOverOf(state)?.pond;
  const keepers = helps?.keeper_names.length ? namesOf(helps.keeper_names) : helperWords.invite.keepers;
  if (!person || !pond) return null;
  const tell = (/** @type {Event} */ event) => {
    event.preventDefault();
    const entry = makeEntry("look", pond, { all_well: false, wrong: trouble.wrong ?? [],
      trouble: trouble.wrong ? "other" : trouble.id,
      ...text.trim() ? { text: text.trim() } : {}, ...photos.length ? { photos } : {} });
    keep([entry.id]);
    record([entry], words.wrong.recorded);
  };
  if (ids.length > 0) return html`<${Told} id=${ids[0]} now_ms=${now_ms} seen=${seen} />
    <div class="inset"><${PhotoStrip} sums=${photos} /></div>`;
  return html`<form class="form" onSubmit=${tell}>
    <${PondPick} />
    <${TextField} label=${helperWords.wrong_text} text=${text} onText=${type} lines=${3} maxlength=${1700} />
    <${PhotoField} sums=${photos} onChange=${pick} waits=${false} />
    <button type="submit" class="wide-button">${helperWords.wrong_tell(keepers)}</button>
  </form>`;
}

/** @param {{id: string, now_ms: number, seen: Map<string, import("../../domain/types.js").Seen>}} props */
function Told({ id, seen }) {
  const { trial } = useStore();
  const [late, grow] = useState(false);
  const sent = (seen.get(id)?.seq ?? null) !== null;
  const tried = trial.some((one) => one.id === id);
  useEffect(() => {
    if (sent) return undefined;
    const timer = setTimeout(() => grow(true), PATIENCE_MS);
    return () => clearTimeout(timer);
  }, [sent]);
  const now = tried ? helperWords.wrong_rehearsal : sent ? words.wrong.sent(clock(seen.get(id)?.at ?? "", zoneOf()))
    : late || !navigator.onLine ? words.wrong.not_sent : words.wrong.sending;
  return html`<div class=${sent ? "notice" : "notice act"} role="status"><p><strong>${now}</strong></p>
    ${sent && html`<p>${helperWords.wrong_ring}</p>`}</div>`;
}
