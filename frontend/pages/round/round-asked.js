// Readings a job is there for, typed on its own card: "Test KH" has a field for KH.
import { isReading, standingOf } from "../../domain/fold.js";
import { nameOf } from "../../domain/today.js";
import { parsed, when } from "../../formats.js";
import { rangeError } from "../../parts/fields.js";
import { makeEntry } from "../../record.js";
import { shownQuantity, shownValue, toShown, toStored } from "../../units.js";
import { words } from "../../words.js";

/** @typedef {import("../../domain/types.js").Job} Job */
/** @typedef {import("../../store.js").State} State */

/**
 * @typedef {object} Asked       one field on the card
 * @property {string} name       of its draft
 * @property {string} label      with where it is measured, if that is not the pond
 * @property {string} point
 * @property {import("../../units.js").Shown} known
 * @property {string} text       as typed
 * @property {string} hint       the last such reading
 * @property {number} start      where − and + begin
 * @property {string} wrong      what cannot be
 */

/** The fields of a job's card. @param {Job} job @param {State} state @param {number} now_ms @returns {Asked[]} */
export function askedOf(job, state, now_ms) {
  const points = /** @type {Record<string, string>} */ (words.water.points);
  const zone = state.plan?.ponds.find((pond) => pond.id === job.pond)?.zone ?? "UTC";
  return (job.asks ?? []).flatMap(({ quantity, point }) => {
    const known = shownQuantity(state.plan, job.pond, quantity);
    if (!known) return [];
    const name = `${nameOf(job)} ${quantity} ${point}`;
    const text = state.drafts[name] ?? "";
    const last = standingOf(state.seen).filter((one) => isReading(one, job.pond, quantity, point)).pop();
    return [{
      name, point, known, text, label: point === "pond" ? known.label : `${known.label}, ${points[point]}`,
      hint: last
        ? words.card.from_reading(`${shownValue(known, last.entry.value)}, ${when(last.at, zone, now_ms)}`) : "",
      start: last ? toShown(known, last.entry.value) : toShown(known, known.usual[0]),
      wrong: text ? rangeError(text, known) : "",
    }];
  });
}

/** The entries that what was typed comes to. @param {Job} job @param {Asked[]} asked */
export function askedEntries(job, asked) {
  return asked.filter(({ text }) => text).map(({ known, point, text }) =>
    makeEntry("reading", job.pond, { quantity: known.quantity, point, value: toStored(known, parsed(text)) }));
}
