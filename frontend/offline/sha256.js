// The sum a photo goes by. Browsers have one, but not on plain http, where the app works too within reach of home.
//
// Source: FIPS 180-4, sections 4.1.2, 4.2.2, 5 and 6.2.

/** The first 32 bits of the fractional parts of the cube roots of the first 64 primes (section 4.2.2). */
const K = new Uint32Array([
  0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
  0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
  0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
  0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
  0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
  0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
  0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
  0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
]);
/** Of the square roots of the first eight (section 5.3.3). */
const START = [
  0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
];

/** @param {ArrayBuffer} bytes @returns {Promise<string>} 64 hexadecimal digits */
export async function sha256(bytes) {
  return globalThis.crypto?.subtle ? hex(await crypto.subtle.digest("SHA-256", bytes)) : reckonedSha256(bytes);
}

/** @param {ArrayBuffer} digest */
function hex(digest) {
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** The same without the browser's help. @param {ArrayBuffer} bytes */
export function reckonedSha256(bytes) {
  const length = bytes.byteLength;
  const whole = new Uint8Array(Math.ceil((length + 9) / 64) * 64);
  whole.set(new Uint8Array(bytes));
  whole[length] = 0x80;
  const view = new DataView(whole.buffer);
  view.setUint32(whole.length - 8, Math.floor(length / 0x20000000));
  view.setUint32(whole.length - 4, (length << 3) >>> 0);
  const state = Uint32Array.from(START);
  const schedule = new Uint32Array(64);
  for (let at = 0; at < whole.length; at += 64) takeBlock(state, schedule, view, at);
  return [...state].map((word) => word.toString(16).padStart(8, "0")).join("");
}

/** @param {number} word @param {number} by */
function turned(word, by) {
  return (word >>> by) | (word << (32 - by));
}

/** @param {Uint32Array} state @param {Uint32Array} w @param {DataView} view @param {number} at */
function takeBlock(state, w, view, at) {
  for (let n = 0; n < 16; n += 1) w[n] = view.getUint32(at + 4 * n);
  for (let n = 16; n < 64; n += 1) {
    const near = turned(w[n - 2], 17) ^ turned(w[n - 2], 19) ^ (w[n - 2] >>> 10);
    const far = turned(w[n - 15], 7) ^ turned(w[n - 15], 18) ^ (w[n - 15] >>> 3);
    w[n] = near + w[n - 7] + far + w[n - 16];
  }
  let [a, b, c, d, e, f, g, h] = state;
  for (let n = 0; n < 64; n += 1) {
    const one = (h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + K[n] + w[n]) | 0;
    const two = ((turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [a, b, c, d, e, f, g, h] = [(one + two) | 0, a, b, c, (d + one) | 0, e, f, g];
  }
  [a, b, c, d, e, f, g, h].forEach((word, n) => { state[n] += word; });
}
