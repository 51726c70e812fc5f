// Lengths of a pond in the keeper's unit; stored in metres.

/** A foot is 0.3048 m by definition. @type {Record<string, number>} */
export const LENGTHS = { m: 1, ft: 1 / 0.3048 };

/** @param {{units?: Record<string, string>}|null|undefined} pond @returns {{unit: string, per: number}} */
export function lengthUnit(pond) {
  const unit = pond?.units?.length ?? "m";
  return LENGTHS[unit] ? { unit, per: LENGTHS[unit] } : { unit: "m", per: 1 };
}
