// Weights of fish as their keeper reads and writes them: "2.8 kg", "6 lb 4 oz". What is stored and sent is in grams.
import { number, parsed } from "../../formats.js";
import { massUnit } from "../../units.js";
import { get } from "../../store.js";

/** Exact: the pound of 1959, and the ounce, its sixteenth. */
export const POUND_G = 453.59237;
const OUNCES = 16;
/** A number with its unit, "6 lb"; in pounds an ounce may stand without ("6 lb 4", "6 4"). */
const ONE = /^([\d.,]+)\s*(kg|g|grams?|lbs?|pounds?|oz|ounces?)?$/;
const BOTH = /^(\d+)\s*(?:lbs?|pounds?|\s)[\s,]*([\d.,]+)\s*(?:oz|ounces?)?$/;
/** @type {Record<string, number>} */
const PER = { k: 1000, g: 1, l: POUND_G, p: POUND_G, o: POUND_G / OUNCES };

/** The unit in which the weights of the chosen pond's fish are read: "g" or "lb oz". */
export function massUnitHere() {
  const { plan, pond } = get();
  return massUnit(plan?.ponds.find((one) => one.id === pond) ?? plan?.ponds[0]);
}

/** What was typed, in grams; NaN where it is no weight. A number alone is in the keeper's unit.
 * @param {string} text @param {string} [unit] */
export function parsedMass(text, unit = massUnitHere()) {
  const plain = text.trim().toLowerCase();
  const one = ONE.exec(plain);
  if (one) return parsed(one[1]) * PER[one[2]?.[0] ?? (unit === "g" ? "g" : "l")];
  const both = (unit === "g" && !plain.includes("l") && !plain.includes("p")) ? null : BOTH.exec(plain);
  const ounces = parsed(both?.[2] ?? "");
  return both && ounces < OUNCES ? (Number(both[1]) * OUNCES + ounces) * PER.o : NaN;
}

/** As it would be typed. @param {number} grams @param {string} [unit] */
export function massText(grams, unit = massUnitHere()) {
  return unit === "g" ? String(grams) : mass(grams, unit);
}

/** "850 g", "3.2 kg", "6 lb 4 oz": as coarse as a scale reads. @param {number} grams @param {string} [unit] */
export function mass(grams, unit = massUnitHere()) {
  if (unit !== "g") return inPounds(grams);
  if (grams < 1000) return `${number(grams < 20 ? Math.round(grams * 10) / 10 : Math.round(grams))} g`;
  return `${number(grams / 1000, grams < 10_000 ? 2 : 1)} kg`;
}

/** @param {number} grams */
function inPounds(grams) {
  const ounces = grams / PER.o;
  if (ounces < OUNCES - 0.05) return `${number(Math.round(ounces * 10) / 10)} oz`;
  const [pounds, rest] = [Math.floor(Math.round(ounces) / OUNCES), Math.round(ounces) % OUNCES];
  return rest ? `${number(pounds)} lb ${rest} oz` : `${number(pounds)} lb`;
}
