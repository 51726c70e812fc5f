// Ids made on this device. crypto.randomUUID and crypto.subtle do not exist on plain http, and the
// app works there too, within reach of home; crypto.getRandomValues exists everywhere.

/** @param {Uint8Array} bytes 16 of them @returns {string} */
function asUuid(bytes) {
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** A UUID of version 7 (RFC 9562, section 5.7): the first 48 bits are the time, the rest is chance.
 * @param {number} now_ms @returns {string} */
export function entryId(now_ms) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  // A phone that woke before 1970 has a negative clock; the id only needs to be its own.
  const ms = Math.max(0, now_ms);
  for (let n = 0; n < 6; n += 1) bytes[n] = Math.floor(ms / 2 ** (8 * (5 - n))) % 256;
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  return asUuid(bytes);
}

/** A UUID of version 4, for the device. @returns {string} */
export function deviceId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = 0x40 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  return asUuid(bytes);
}
