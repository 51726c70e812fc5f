// Walls and cover: what the pond is made of, from which home reckons its first nights.
import { html } from "../../ui.js";
import { civilDate } from "../../domain/civil.js";
import { FieldForm } from "../../parts/field-form.js";
import { warmthFormWords } from "../../words/warmth-form-words.js";
import { lengthUnit } from "../start/lengths.js";
import { saveSettings, whose } from "../save-settings.js";
import { BACK, beginning, only, share, sinceSection, touched, wholeFrom } from "./warmth-forms.js";

/** @typedef {import("../../parts/form-values.js").Section} Section */

const W = warmthFormWords;
const MOST_LAYERS = 8;

/** @param {string} name @returns {import("../../parts/form-values.js").Rows} */
function layers(name) {
  return { name, add: W.layer_add, title: W.layer, drop: W.layer_drop, most: MOST_LAYERS, none: W.layers_none, fields: [
    { name: "material", label: W.material, options: W.materials },
    { name: "thickness_m", label: W.thickness, unit: "mm", per: 1000, low: 0.1, high: 2000, required: true },
    { name: "conductivity_w_per_m_k", label: W.conductivity, unit: "W/(m K)", low: 0.01, high: 5,
      hint: W.conductivity_hint }] };
}

/** @param {import("../../domain/types.js").Pond} pond @returns {Section[]} */
function wallSections(pond) {
  const { unit, per } = lengthUnit(pond);
  const metres = (/** @type {string} */ name, /** @type {string} */ label, high = 100) =>
    ({ name: `shell.${name}`, label, unit, per, low: Number((0.1 * per).toPrecision(2)),
      high: Math.floor(high * per) });
  return [
    { title: W.shape, fields: [
      { name: "shell.shape", label: W.shape, options: W.shapes },
      ...only("shell.shape", "round", [metres("length_m", W.diameter)]),
      ...only("shell.shape", "rectangle", [metres("length_m", W.length), metres("width_m", W.width)]),
      ...only("shell.shape", "other", [{ name: "shell.surface_m2", label: W.surface, unit: "m²", low: 0.1, high: 5000,
        hint: W.surface_hint }]),
      metres("depth_m", W.depth, 10),
      share("shell.below_ground_fraction", W.below, W.usual("50 %"))] },
    { title: W.walls, hint: W.layers_hint, fields: [], rows: layers("shell.walls") },
    { title: W.floor, fields: [], rows: layers("shell.floor") },
    { title: W.cover, fields: [
      { name: "has_cover", label: W.has_cover, options: W.yes_no },
      ...only("has_cover", "yes", [
        { name: "cover.kind", label: W.cover_kind, options: W.cover_kinds },
        { name: "cover.thickness_mm", label: W.thickness, unit: "mm", low: 4, high: 200, hint: W.usual("16 mm") },
        { name: "cover.u_w_per_m2_k", label: W.cover_u, unit: "W/(m² K)", low: 0.1, high: 10, hint: W.cover_u_hint },
        share("cover.covered_fraction", W.cover_share, W.usual("100 %"), 10)])] },
    sinceSection(),
  ];
}

/** @param {import("./warmth-forms.js").Props} props */
export function WallsForm({ plan, pond, now_ms }) {
  const sections = wallSections(pond);
  const before = beginning(pond, sections, { has_cover: pond.cover ? "yes" : "no",
    since: pond.shell?.walls?.length || pond.cover ? "today" : "always" });
  const save = (/** @type {Record<string, any>} */ values, /** @type {string[]} */ changed) => {
    /** @type {[string, any][]} */
    const settings = [];
    if (touched(changed, "shell")) settings.push(["shell", wholeFrom(values, "shell")]);
    if (touched(changed, "cover")) {
      settings.push(["cover", values.has_cover === "yes" ? wholeFrom(values, "cover") : null]);
    }
    return saveSettings(pond, settings, BACK, values.since === "today" ? civilDate(pond.zone, now_ms) : null);
  };
  return html`<${FieldForm} title=${W.titles.walls} hint=${whose(plan, pond)} sections=${sections} before=${before}
    back=${BACK} onSave=${save} />`;
}
