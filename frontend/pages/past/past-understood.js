// What home understood of a file, before it is kept: every column may be changed, and home looks again.
import { html, useId } from "../../ui.js";
import { withOffset } from "../../domain/civil.js";
import { dayAndMonth, number } from "../../formats.js";
import { FoldedTable, Table } from "../../parts/workings.js";
import { useStore } from "../../store.js";
import { pastWords } from "../../words/past-words.js";
import { problemSentence, words } from "../../words.js";

const P = pastWords;
const SHOWN_BAD = 8;

/** @typedef {{number: number, letter: string, header: string, meaning: string, unit: string, point: string,
 *   decimal: string, sure: boolean, why: string, examples: string[]}} Column */
/** @typedef {{meaning: string, label: string, units: string[]}} Meaning */
/** @typedef {{meaning?: string, unit?: string, point?: string}} ColumnChoice */
/** @typedef {{columns: Record<string, ColumnChoice>, date_order?: string, decimal?: string, year?: number,
 *   point?: string}} Choices */
/** @typedef {{line: number, at: string, label: string, value: number|string, unit: string, point: string}} Row */
/** @typedef {{label: string, point: string, unit: string, count: number, first_at: string, last_at: string,
 *   smallest: number|null, largest: number|null, column: number}} Count */
/** @typedef {{line: number, column: string, cell: string, what: string, right: string}} Bad */
/** @typedef {{line: number, at: string, label: string, one: number, other: number, unit: string}} Clash */
/** @typedef {{pond: string, zone: string, header_line: number|null, date_order: string, date_sure: boolean,
 *   date_why: string, columns: Column[], meanings: Meaning[], first: Row[], counts: Count[], rows: number,
 *   values: number, new: number, already_here: number, repeated: number, clashes: Clash[], clash_count: number,
 *   bad: Bad[], bad_count: number}} Preview */
/** @typedef {{preview: Preview, choices: Choices, onChange: (choices: Choices, pond?: string) => void}} Changing */

/** "3 Nov 2026" @param {string} date civil */
export function fullDate(date) {
  return `${dayAndMonth(date)} ${date.slice(0, 4)}`;
}

/** "3 Nov 2026 18:00" @param {string} at @param {string} zone */
function moment(at, zone) {
  const here = withOffset(zone, Date.parse(at));
  return `${fullDate(here.slice(0, 10))} ${here.slice(11, 16)}`;
}

/** @param {Changing & {name: string, busy: boolean, onKeep: () => void, onOther: () => void}} props */
export function Understood({ preview, name, choices, busy, onChange, onKeep, onOther }) {
  const only_readings = preview.counts.every(({ label, unit }) => label !== "Note" && !["g", "L"].includes(unit));
  const keep = only_readings ? P.keep_readings : P.keep;
  return html`<section class="card-section understood" aria-label=${P.understood}>
      <h2>${P.understood}</h2>
      <p>${P.rows(name, preview.rows, preview.header_line)}
        ${" "}<strong>${P.found(preview.values, preview.new, preview.already_here, preview.repeated)}.</strong></p>
      <${Whole} preview=${preview} choices=${choices} onChange=${onChange} />
      <${Columns} preview=${preview} choices=${choices} onChange=${onChange} />
    </section>
    <${BadLines} preview=${preview} />
    <${Shown} preview=${preview} />
    <div class="inset">${preview.new === 0 ? html`<p class="notice">${P.none_new}</p>`
      : html`<button type="button" class="wide-button" disabled=${busy}
        onClick=${onKeep}>${keep(preview.new)}</button>`}
      <p class="centre"><button type="button" class="plain-button"
        onClick=${onOther}>${P.other_file}</button></p></div>`;
}

/** What holds for the whole file. @param {Changing} props */
function Whole({ preview, choices, onChange }) {
  const { plan } = useStore();
  const id = useId();
  const ponds = Object.fromEntries((plan?.ponds ?? []).map((one) => [one.id, one.name]));
  const yearless = choices.year !== undefined || preview.bad.some(({ what }) => what === "a date without its year");
  return html`<div class="field-set">
    ${Object.keys(ponds).length > 1 && html`<${Pick} label=${words.water.which_pond} value=${preview.pond}
      options=${ponds} onPick=${(value) => onChange({ ...choices, columns: {} }, value)} />`}
    <${Pick} label=${P.date_order} value=${preview.date_order} options=${P.orders}
      hint=${preview.date_sure ? "" : preview.date_why}
      onPick=${(value) => onChange({ ...choices, date_order: value })} />
    <${Pick} label=${P.decimal} value=${choices.decimal ?? ""} options=${P.decimals}
      onPick=${(value) => onChange({ ...choices, decimal: value || undefined })} />
    ${yearless && html`<div class="text-field"><label for=${id}>${P.year}</label>
      <input id=${id} type="number" min="1990" max="2100" value=${choices.year ?? ""}
        onChange=${(event) => onChange({ ...choices, year: Number(event.target.value) || undefined })} /></div>`}
    </div><p class="quiet">${P.zone(preview.zone)}</p>`;
}

/** @param {{label: string, value: string, options: Record<string, string>, hint?: string, of?: string,
 *   onPick: (value: string) => void}} props */
function Pick({ label, value, options, hint, of, onPick }) {
  const id = useId();
  return html`<div class="pond-pick"><label for=${id}>${label}${of && html`<span class="unseen"> ${of}</span>`}</label>
    <select id=${id} value=${value} aria-describedby=${hint ? `${id}-more` : undefined}
      onChange=${(event) => onPick(event.target.value)}>${Object.entries(options).map(([key, text]) =>
        html`<option key=${key} value=${key} selected=${key === value}>${text}</option>`)}</select>
    ${hint && html`<p id=${`${id}-more`} class="to-check">${hint}</p>`}</div>`;
}

/** @param {Changing} props */
function Columns(props) {
  const { columns } = props.preview;
  const used = columns.filter(({ meaning, sure }) => meaning !== "left_out" || !sure);
  const left = columns.filter((one) => !used.includes(one));
  const list = (/** @type {Column[]} */ some) => html`<ul class="past-columns">${some.map((one) =>
    html`<li key=${one.number}><${OneColumn} column=${one} ...${props} /></li>`)}</ul>`;
  return html`<h3>${P.columns}</h3>${list(used)}
    ${left.length > 0 && html`<details class="workings"><summary>${P.left_out(left.length)}</summary>${list(left)}
      </details>`}`;
}

/** @param {Changing & {column: Column}} props */
function OneColumn({ column, preview, choices, onChange }) {
  const { plan } = useStore();
  const known = preview.meanings.find(({ meaning }) => meaning === column.meaning);
  const name = `${column.letter} ${column.header}`.trim();
  const set = (/** @type {ColumnChoice} */ choice) => {
    const before = choices.columns[column.number] ?? {};
    onChange({ ...choices, columns: { ...choices.columns, [column.number]: { ...before, ...choice } } });
  };
  const meanings = Object.fromEntries(preview.meanings.map(({ meaning, label }) => [meaning, label]));
  const units = Object.fromEntries((known?.units ?? []).map((unit) => [unit, unit || "–"]));
  const pointsOf = (/** @type {string} */ meaning) =>
    plan?.quantities.find(({ quantity }) => quantity === meaning)?.points ?? [];
  const known_points = pointsOf(column.meaning);
  const mean = (/** @type {string} */ meaning) => {
    const there = pointsOf(meaning);
    const point = there.length === 0 || there.includes(column.point) ? {} : { point: there[0] };
    set({ meaning, unit: undefined, ...point });
  };
  const points = Object.fromEntries(known_points.map((point) => [point, words.water.points[point] ?? point]));
  return html`<p class="past-column"><strong>${name}</strong>
      <span class="quiet">${column.examples.join(" · ")}</span></p>
    ${!column.sure && html`<p class="to-check">${column.why}</p>`}
    <div class="field-set">
      <${Pick} label=${P.taken_for} of=${name} value=${column.meaning} options=${meanings}
        onPick=${mean} />
      ${Object.keys(units).length > 1 && html`<${Pick} label=${P.unit} of=${name} value=${column.unit} options=${units}
        onPick=${(unit) => set({ unit, meaning: column.meaning })} />`}
      ${known_points.length > 1 && html`<${Pick} label=${P.point} of=${name} value=${column.point} options=${points}
        onPick=${(point) => set({ point, meaning: column.meaning, unit: column.unit })} />`}
    </div>`;
}

/** @param {{preview: Preview}} props */
function BadLines({ preview }) {
  const { bad, bad_count, clashes, clash_count, zone } = preview;
  const list = (/** @type {Bad[]} */ some) => html`<ul class="entry-list">${some.map((one, n) => html`
    <li class="bad-line" key=${n}><p><strong>${P.bad_at(one.line, one.column)}</strong>
        ${one.cell && html`${" "}<code>${one.cell}</code>`}</p>
    <p>${problemSentence(one)}</p></li>`)}</ul>`;
  return html`${bad_count > 0 && html`<section class="card-section bad-lines" aria-label=${P.bad(bad_count)}>
      <h2>${P.bad(bad_count)}</h2><p>${P.bad_hint}</p>
      ${list(bad.slice(0, SHOWN_BAD))}
      ${bad_count > SHOWN_BAD && html`<details class="workings">
        <summary>${P.more_bad(bad_count - SHOWN_BAD, bad.length)}</summary>${list(bad.slice(SHOWN_BAD))}</details>`}
      </section>`}
    ${clash_count > 0 && html`<section class="card-section"><h2>${P.clash(clash_count)}</h2><p>${P.clash_hint}</p>
      <${Table} columns=${P.clash_columns} rows=${clashes.slice(0, SHOWN_BAD).map((one) => [String(one.line),
        moment(one.at, zone), one.label, `${number(one.one)} · ${number(one.other)} ${one.unit}`])} /></section>`}`;
}

/** @param {{preview: Preview}} props */
function Shown({ preview }) {
  const { first, counts, zone } = preview;
  const named = (/** @type {{label: string, point: string}} */ { label, point }) =>
    (point === "pond" ? label : `${label} ${words.water.points[point] ?? ""}`);
  const said = (/** @type {number|string|null} */ value) => (typeof value === "number" ? number(value) : value ?? "");
  const span = (/** @type {Count} */ one) =>
    P.span(moment(one.first_at, zone).slice(0, -6), moment(one.last_at, zone).slice(0, -6));
  const lines = [...new Set(first.map(({ line }) => line))].map((line) => first.filter((one) => one.line === line));
  return html`${counts.length > 0 && html`<section class="card-section"><h2>${P.counts}</h2>
      <${Table} columns=${P.counts_columns} rows=${counts.map((one) => [named(one), number(one.count), span(one),
        one.smallest === null ? "" : P.least_to_most(said(one.smallest), said(one.largest), one.unit)])} />
      <${FoldedTable} summary=${P.first} columns=${P.first_columns} rows=${lines.map((some) => [String(some[0].line),
        moment(some[0].at, zone), some.map((one) => `${named(one)} ${said(one.value)} ${one.unit}`.trim()).join(", ")])}
      /></section>`}`;
}
