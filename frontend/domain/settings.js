// Settings that home has not heard of yet, over the ponds of the plan it made before.

/** @typedef {import("./types.js").Pond} Pond */
/** @typedef {import("./types.js").Entry} Entry */

/** The ponds as they will be once home has heard of them: what was saved shows, with no signal too.
 * @param {Pond[]} ponds @param {Entry[]} unsent in the order they were made @returns {Pond[]} */
export function withUnsent(ponds, unsent) {
  const withdrawn = new Set(unsent.filter((one) => one.kind === "take_back").map((one) => one.entry));
  const settings = unsent.filter((one) => one.kind === "set" && !withdrawn.has(one.id)
    && (!one.effective_from || one.effective_from <= one.local_date));
  return ponds.map((pond) => settings.filter((one) => one.pond === pond.id).reduce(withSetting, pond));
}

/** @param {Pond} pond @param {any} entry @returns {Pond} */
function withSetting(pond, { target, field, value }) {
  if (target === "pond") return { ...pond, [field]: value };
  if (target.startsWith("kit/")) return { ...pond, kit: withItem(pond.kit ?? [], target.slice(4), { [field]: value }) };
  if (!target.startsWith("range/")) return pond;
  const of = target.slice("range/".length);
  return { ...pond, ranges: { ...pond.ranges, [of]: { ...pond.ranges[of], [field]: value } } };
}

/** @param {import("./types.js").KitItem[]} kit @param {string} id @param {Record<string, any>} told */
function withItem(kit, id, told) {
  if (told.removed) return kit.filter((one) => one.id !== id);
  const before = kit.find((one) => one.id === id);
  const begun = { kind: "other", hours_per_day: 24, spares: 0, parts: [] };
  const item = /** @type {import("./types.js").KitItem} */ ({
    ...begun, ...before, name: before?.name ?? id, ...told, id,
  });
  return before ? kit.map((one) => (one === before ? item : one)) : [...kit, item];
}
