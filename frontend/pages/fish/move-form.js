// A fish of the register that moved, was sold, given away, died, or came back: one `fish_move` that names it.
import { html, useState } from "../../ui.js";
import { moveWords } from "../../words/fish-words.js";
import { FieldForm } from "../../parts/field-form.js";
import { MomentField, momentError, momentMs } from "../../parts/moment-field.js";
import { makeEntry, record } from "../../record.js";
import { go } from "../../router.js";
import { useStore } from "../../store.js";
import { whose } from "../save-settings.js";
import { NotThere } from "./one-fish.js";

/** @typedef {import("../../parts/form-values.js").Section} Section */
/** @typedef {import("./fish.js").FishProps} FishProps */

const W = moveWords;
const BACK = "/fish";

/** @param {FishProps} props */
export function FishMoveForm({ plan, pond, fish: all, of, now_ms }) {
  const { skew_s } = useStore();
  const [at, when] = useState("");
  const [wrong, fail] = useState("");
  const fish = all.find((one) => one.id === of);
  if (!fish) return html`<${NotThere} />`;
  const others = Object.fromEntries(plan.ponds.filter((one) => one.id !== pond.id).map((one) => [one.id, one.name]));
  const { moved, back, ...left } = W.whats;
  const whats = fish.here === 0 ? { back } : Object.keys(others).length > 0 ? { moved, ...left } : left;
  const is = (/** @type {string} */ what) => (/** @type {Record<string, string>} */ texts) => texts.what === what;
  const group = fish.count > 1;
  /** @type {Section[]} */
  const sections = [{ fields: [
    { name: "what", label: W.what, options: whats },
    { name: "to_pond", label: W.to, options: others, where: is("moved") },
    { name: "quarantine", label: W.quarantine, options: W.yes_no, where: is("moved") },
    .../** @type {any[]} */ (group ? [{ name: "count", label: W.count, whole: true, low: 1, high: 10_000,
      required: true }] : [])] },
  { title: W.care, caution: W.move_caution, fields: [], where: is("moved") },
  { title: W.died, caution: W.died_caution, fields: [], where: is("died") }];
  const most = fish.here || fish.count;
  const before = { what: Object.keys(whats)[0], to_pond: Object.keys(others)[0] ?? "", quarantine: "no",
    ...group ? { count: String(most) } : {} };
  const check = (/** @type {Record<string, any>} */ { count = 1 }) =>
    /** @type {Record<string, string>} */ (count > most ? { count: W.count_most(most) } : {});
  const save = async (/** @type {Record<string, any>} */ { what, to_pond, quarantine, count = fish.count }) => {
    const late = momentError(at, pond.zone, now_ms);
    fail(late);
    if (late) return;
    const where = what === "back" ? { to_pond: pond.id } : what === "moved"
      ? { from_pond: pond.id, to_pond, how: what, quarantine: quarantine === "yes" }
      : { from_pond: pond.id, how: what };
    await record([makeEntry("fish_move", pond.id, { ...where, count, fish: [fish.id] },
      momentMs(at, pond.zone, skew_s))], W.saved);
    go(BACK, true);
  };
  return html`<${FieldForm} title=${W.title(fish.name)} hint=${whose(plan, pond)} sections=${sections} before=${before}
    check=${check} back=${BACK} onSave=${save}><${MomentField} label=${W.happened} text=${at} onText=${when}
      zone=${pond.zone} now_ms=${now_ms} error=${wrong} /></${FieldForm}>`;
}
