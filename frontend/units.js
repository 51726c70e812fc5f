// Units as the keeper reads them, at the edge of the screen: what is stored and sent stays in the server's own.
import { number } from "./formats.js";

/** @typedef {import("./domain/types.js").Quantity} Quantity */
/** @typedef {import("./domain/types.js").Pond} Pond */
/** @typedef {import("./domain/types.js").Plan} Plan */
/** @typedef {Quantity & {per: number, offset: number}} Shown   value in `unit` = stored × per + offset */

/** A gallon of either kind is exact by definition: 3.785411784 L and 4.54609 L. @type {Record<string, number>} */
export const VOLUMES = { L: 1, "US gal": 1 / 3.785411784, "imp gal": 1 / 4.54609 };

/** @param {Pond|null|undefined} pond @returns {{unit: string, per: number}} */
export function volumeUnit(pond) {
  const unit = pond?.units?.volume ?? "L";
  return VOLUMES[unit] ? { unit, per: VOLUMES[unit] } : { unit: "L", per: 1 };
}

/** How the weight of a fish is read; stored in grams. */
export const MASSES = ["g", "lb oz"];

/** @param {Pond|null|undefined} pond */
export function massUnit(pond) {
  return MASSES.find((unit) => unit === pond?.units?.mass) ?? "g";
}

/** A quantity with everything about it turned into the unit its keeper reads it in.
 * @param {Quantity} known @param {Pond|null|undefined} pond @returns {Shown} */
export function inUnits(known, pond) {
  const unit_wanted = pond?.units?.[known.quantity] ?? known.shown_in;
  const wanted = known.others.find((one) => one.unit === unit_wanted);
  if (!wanted) return { ...known, per: 1, offset: 0 };
  const { unit, per, offset } = wanted;
  const decimals = Math.max(0, Math.ceil(known.decimals - Math.log10(per)));
  const tens = 10 ** decimals;
  const turned = (/** @type {number} */ value) => value * per + offset;
  const rest = known.others.filter((one) => one !== wanted)
    .map((one) => ({ unit: one.unit, per: one.per / per, offset: one.offset - (offset * one.per) / per }));
  return {
    ...known, unit, per, offset, decimals, step: round125(known.step * per),
    low: Math.ceil(turned(known.low) * tens) / tens, high: Math.floor(turned(known.high) * tens) / tens,
    usual: [turned(known.usual[0]), turned(known.usual[1])],
    others: [{ unit: known.unit, per: 1 / per, offset: -offset / per }, ...rest],
  };
}

/** Whether it can be measured there; an older home does not say. @param {Quantity} known @param {string} point */
export function isAt({ points }, point) {
  return points?.includes(point) ?? true;
}

/** 8.9 -> 10, 0.18 -> 0.2: a step the thumb can count in. @param {number} step */
function round125(step) {
  const ten = 10 ** Math.floor(Math.log10(step));
  const lead = [1, 2, 5, 10].find((one) => step / ten <= one * 1.3) ?? 10;
  return Number((lead * ten).toPrecision(1));
}

/** The quantity of that name as its keeper reads it. @param {Plan|null} plan @param {string} pond its id
 * @param {string|undefined} quantity @returns {Shown|undefined} */
export function shownQuantity(plan, pond, quantity) {
  const known = plan?.quantities.find((one) => one.quantity === quantity);
  return known && inUnits(known, plan?.ponds.find((one) => one.id === pond));
}

/** @param {Shown} known @param {number} value stored */
export function toShown({ per, offset }, value) {
  return per === 1 && offset === 0 ? value : value * per + offset;
}

/** @param {Shown} known @param {number} value as typed */
export function toStored({ per, offset }, value) {
  return per === 1 && offset === 0 ? value : (value - offset) / per;
}

/** A stored value as a number in the keeper's unit, without the unit. @param {Shown} known @param {number} value */
export function shownNumber(known, value) {
  const turned = toShown(known, value);
  return number(turned === value ? value : Number(turned.toFixed(known.decimals)));
}

/** "5.5 °dKH" @param {Shown} known @param {number} value stored */
export function shownValue(known, value) {
  return `${shownNumber(known, value)}${known.unit ? ` ${known.unit}` : ""}`;
}
