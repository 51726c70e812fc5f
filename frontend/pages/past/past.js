// Bring the past in: choose a file, see what was understood, change it, keep it; what came before; everything out.
import { html, useId, useState } from "../../ui.js";
import { flush } from "../../live.js";
import { sendFile } from "../../offline/file-call.js";
import { useHalfTyped } from "../../router.js";
import { say, useStore } from "../../store.js";
import { pastWords } from "../../words/past-words.js";
import { errorSentence } from "../../words.js";
import { Imports } from "./past-imports.js";
import { Understood } from "./past-understood.js";

/** @typedef {import("./past-understood.js").Preview} Preview */
/** @typedef {import("./past-understood.js").Choices} Choices */
/** @typedef {{name: string, data: Blob}} Chosen */
/** @typedef {{text: string, share: number|null}} Busy */

const P = pastWords;
const LARGEST = 32_000_000;
/** @type {Choices} */
const NOTHING_CHOSEN = { columns: {} };

/** @param {string} what @param {Chosen} file @param {Choices} choices @param {string} pond */
function pathOf(what, file, choices, pond) {
  const query = new URLSearchParams({ name: file.name, choices: JSON.stringify(choices), ...(pond && { pond }) });
  return `/api/past/${what}?${query}`;
}

export function Past() {
  const { plan, pond, sync } = useStore();
  const [file, take] = useState(/** @type {Chosen|null} */ (null));
  const [choices, choose] = useState(NOTHING_CHOSEN);
  const [of_pond, pick] = useState(pond ?? plan?.ponds[0]?.id ?? "");
  const [preview, show] = useState(/** @type {Preview|null} */ (null));
  const [busy, work] = useState(/** @type {Busy|null} */ (null));
  const [error, fail] = useState("");
  const [kept, keep] = useState(/** @type {{accepted: number, already_here: number}|null} */ (null));
  const offline = sync === "no_signal" || !navigator.onLine;
  useHalfTyped(preview !== null && !kept);

  const call = async (/** @type {string} */ what, /** @type {Chosen} */ sent, /** @type {Choices} */ chosen,
    /** @type {string} */ whose, /** @type {string} */ doing, /** @type {(data: any) => boolean} */ fits) => {
    fail("");
    work({ text: P.sending(0), share: 0 });
    const answer = await sendFile(pathOf(what, sent, chosen, whose), sent.data, (share) =>
      work(share < 1 ? { text: P.sending(Math.floor(share * 100)), share } : { text: doing, share: null }), fits);
    work(null);
    if (!answer.ok) fail(errorSentence(answer));
    return answer.ok ? answer.data : null;
  };
  const look = async (/** @type {Chosen} */ sent, /** @type {Choices} */ chosen, /** @type {string} */ whose) => {
    const found = await call("preview", sent, chosen, whose, P.reading, (data) => Array.isArray(data?.columns));
    if (found) show(found);
  };
  const begin = (/** @type {Chosen} */ sent) => {
    if (sent.data.size > LARGEST) return void fail(P.too_large);
    take(sent);
    choose(NOTHING_CHOSEN);
    show(null);
    keep(null);
    look(sent, NOTHING_CHOSEN, of_pond);
  };
  const change = (/** @type {Choices} */ chosen, whose = of_pond) => {
    choose(chosen);
    pick(whose);
    if (file) look(file, chosen, whose);
  };
  const save = async () => {
    if (!file) return;
    const found = await call("keep", file, choices, of_pond, P.keeping, (data) => Number.isInteger(data?.accepted));
    if (!found) return;
    keep(found);
    show(null);
    say(P.done(found.accepted, found.already_here));
    flush();
  };
  const again = () => {
    take(null);
    show(null);
    keep(null);
  };
  const drop = (/** @type {DragEvent} */ event) => {
    event.preventDefault();
    const dropped = event.dataTransfer?.files[0];
    if (dropped) begin({ name: dropped.name, data: dropped });
  };
  return html`<main class="page past" onDragOver=${(event) => event.preventDefault()} onDrop=${drop}>
    <header class="page-head"><div><h1>${P.title}</h1><p class="quiet">${P.hint}</p></div></header>
    ${offline && html`<p class="notice" role="status">${P.offline}</p>`}
    ${!preview && !kept && html`<${Choose} onFile=${begin} disabled=${busy !== null} />`}
    ${busy && html`<${Working} busy=${busy} />`}
    ${error && html`<p class="notice act" role="alert">${error}</p>`}
    ${preview && file && html`<${Understood} preview=${preview} name=${file.name} choices=${choices}
      busy=${busy !== null} onChange=${change} onKeep=${save} onOther=${again} />`}
    ${kept && html`<${Done} kept=${kept} onOther=${again} />`}
    <${Imports} when=${kept} />
    <section class="card-section"><h2>${P.export}</h2><p>${P.export_hint}</p><p class="picks">
      <a class="pick" href="/api/past/export.csv" download>${P.export_csv}</a>
      <a class="pick" href="/api/past/export.json" download>${P.export_json}</a></p></section>
  </main>`;
}

/** @param {{onFile: (file: Chosen) => void, disabled: boolean}} props */
function Choose({ onFile, disabled }) {
  const id = useId();
  const [text, type] = useState("");
  useHalfTyped(text !== "");
  const chosen = (event) => {
    const [file] = event.target.files;
    if (file) onFile({ name: file.name, data: file });
  };
  return html`<section class="card-section">
    <div class="text-field"><label for=${id}>${P.file}</label>
      <input id=${id} type="file" accept=".csv,.tsv,.txt,text/*" disabled=${disabled} onChange=${chosen}
        aria-describedby=${`${id}-more`} /><p id=${`${id}-more`} class="field-more">${P.file_hint}</p></div>
    <details class="workings"><summary>${P.paste}</summary>
      <div class="text-field"><label for=${`${id}-rows`}>${P.paste_label}</label>
        <textarea id=${`${id}-rows`} rows="6" value=${text} onInput=${(event) => type(event.target.value)} /></div>
      <button type="button" class="plain-button" disabled=${disabled || text.trim() === ""}
        onClick=${() => onFile({ name: P.pasted, data: new Blob([text]) })}>${P.paste_read}</button>
    </details></section>`;
}

/** @param {{busy: Busy}} props */
function Working({ busy }) {
  const id = useId();
  return html`<p class="working" role="status"><span id=${id}>${busy.text}</span>
    <progress aria-labelledby=${id} max="1" ...${busy.share === null ? {} : { value: busy.share }} /></p>`;
}

/** @param {{kept: {accepted: number, already_here: number}, onOther: () => void}} props */
function Done({ kept, onOther }) {
  return html`<section class="card-section" aria-label=${P.done_links}><p class="done-line">
      <strong>${P.done(kept.accepted, kept.already_here)}</strong></p>
    <div class="pair wide-pair"><a class="plain-button" href="/water">${P.to_water}</a>
      <a class="plain-button" href="/round">${P.to_round}</a>
      <button type="button" class="plain-button" onClick=${onOther}>${P.other_file}</button></div></section>`;
}
