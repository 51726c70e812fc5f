// How fish are said in a line: lengths, weights, what is known of one.
import { number } from "../../formats.js";
import { fishPageWords } from "../../words/fish-words.js";
import { mass } from "./fish-mass.js";

/** @typedef {import("../../domain/fish-types.js").FishState} FishState */
/** @typedef {import("../../domain/fish-types.js").MeasureLine} MeasureLine */
/** @typedef {import("../../domain/fish-types.js").Band} Band */

const W = fishPageWords;

/** "56 cm total". @param {MeasureLine} one */
export function lengthSays({ length_cm, length_is }) {
  return length_cm === null ? "" : `${number(length_cm)} cm ${length_is ? W.length_short[length_is] : ""}`.trim();
}

/** "2.1 kg (1.8 to 2.4)", "2.1 kg weighed". @param {Band} weight @param {boolean} weighed */
export function weightSays(weight, weighed) {
  return weighed ? `${mass(weight.middle)} ${W.weighed}`
    : `${mass(weight.middle)} (${W.between(mass(weight.low), mass(weight.high))})`;
}

/** The last length that growth is reckoned from; where none is, the last there is. @param {FishState} fish */
export function lastLength(fish) {
  const lengths = fish.measures.filter((one) => one.length_cm !== null);
  return lengths.find((one) => one.counts) ?? lengths[0];
}

/** What it is, in a line under its name. @param {FishState} fish */
export function aboutFish(fish) {
  const sex = fish.sex === "female" || fish.sex === "male" ? W.sexes[fish.sex] : "";
  const group = fish.count > 1 ? W.group(fish.count) : "";
  const part = fish.here > 0 && fish.here < fish.count ? W.here_of(fish.here, fish.count) : "";
  return [fish.variety, group, part, sex, fish.born_year && W.born(Number(fish.born_year)),
    fish.quarantine && fish.here > 0 && W.quarantine].filter(Boolean).join(" · ");
}
