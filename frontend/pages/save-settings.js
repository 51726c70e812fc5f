// Settings of a pond, as forms read and save them: each changed one is one `set` entry.
import { makeEntry, record } from "../record.js";
import { cameFrom, go } from "../router.js";
import { words } from "../words.js";

/** @typedef {import("../domain/types.js").Pond} Pond */

/** A field of a setting: "mains.kh_dkh" or "bypass_fraction". @param {Pond} pond @param {string} name */
export function settingOf(pond, name) {
  const [whole, part] = name.split(".");
  const value = /** @type {any} */ (pond)[whole];
  return part ? value?.[part] : value;
}

/** Save what changed, and go back. @param {Pond} pond
 * @param {[string, any, string?, (string|null)?][]} settings (field, value, target, from when on)
 * @param {string} back the page @param {string|null} [effective_from] a date; null: it was always so */
export async function saveSettings(pond, settings, back, effective_from = null) {
  const entries = settings.map(([field, value, target = "pond", since = effective_from]) =>
    makeEntry("set", pond.id, { target, field, value, effective_from: since }));
  await record(entries, settings.length > 0 ? words.pond.saved : words.pond.unchanged);
  go(cameFrom(back), true);
}

/** Of which pond a form is, where there are several.
 * @param {import("../domain/types.js").Plan} plan @param {Pond} pond */
export function whose(plan, pond) {
  return plan.ponds.length > 1 ? pond.name : "";
}
