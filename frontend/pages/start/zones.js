// Time zones by name, and places as roughly as they are kept.

/** A time zone as the tables spell it, or "": browsers know "europe/berlin" and "+01:00" too, the server does not.
 * @param {string} name */
export function zoneNamed(name) {
  try {
    const known = new Intl.DateTimeFormat("en", { timeZone: name.trim() }).resolvedOptions().timeZone;
    return /^[a-z]/i.test(known) ? known : "";
  } catch {
    return "";
  }
}

/** One decimal of a degree is some 10 km: enough for dusk and weather, and no address. @param {number} degrees */
export function roughly(degrees) {
  return Math.round(degrees * 10) / 10;
}
