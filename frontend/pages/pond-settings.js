// What this device knows of a pond's settings, and the small rules for new ones. No drawing here.
import { withdrawnIds } from "../domain/fold.js";

/** @typedef {import("../domain/types.js").Seen} Seen */

/** Field by field, as text: from the plan, and from the `set` entries this device holds, the last winning.
 * A setting older than what the device keeps is left empty, which means "as it is".
 * @param {import("../domain/types.js").Pond|null} pond @param {Map<string, Seen>} seen
 * @param {{name: string, tel: string}[]} ring @returns {Record<string, string>} */
export function knownSettings(pond, seen, ring) {
  const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (!pond) return { zone: own, substance: "sodium_bicarbonate" };
  /** @type {Record<string, string>} */
  const known = {};
  for (const { entry } of settingsOf(pond.id, seen)) if (isPlain(entry.value)) known[entry.field ?? ""] = String(entry.value);
  for (const [field, value] of Object.entries(pond)) if (field !== "id" && value !== null) known[field] = String(value);
  return { ...known, ring_name: ring[0]?.name ?? "", ring_tel: ring[0]?.tel ?? "" };
}

/** @param {any} value */
function isPlain(value) {
  return typeof value === "string" || typeof value === "number";
}

/** @param {string} pond @param {Map<string, Seen>} seen @returns {Seen[]} by server order, unsent last */
function settingsOf(pond, seen) {
  const gone = withdrawnIds(seen.values());
  return [...seen.values()]
    .filter(({ id, entry }) => entry.kind === "set" && entry.target === "pond" && entry.pond === pond && !gone.has(id))
    .sort((a, b) => (a.seq ?? Infinity) - (b.seq ?? Infinity) || (a.id < b.id ? -1 : 1));
}

/** A pond's id from its name: "Großer Teich" -> "gro-er-teich". @param {string} name */
export function newPondId(name) {
  const slug = name.normalize("NFKD").toLowerCase().replace(/[\u0300-\u036f]/g, "").replace(/[^a-z0-9]+/g, "-");
  return slug.replace(/^-+|-+$/g, "").slice(0, 40) || "pond";
}

/** @param {string} name */
export function isZone(name) {
  try {
    return name.trim() !== "" && Boolean(new Intl.DateTimeFormat("en", { timeZone: name.trim() }));
  } catch {
    return false;
  }
}
