// Photos on this device, in a database apart from the entries: however large it grows or however it fails, no entry
// waits for it. Stores:
//   photos  what is known of each, with the small picture, by sum
//   bytes   what is sent, by sum; kept for a while after home has it, should home be restored from a copy
//   meta    "epoch": which log of home's these were last sent to
//
// Pictures are kept as ArrayBuffers: some browsers fail to keep a Blob.
// When the device cannot store, a photo is held in memory, sent from there, and said to be so.
import { healingDb } from "./healing-db.js";

const db = healingDb("evenwater-photos", 1, (made) => {
  made.createObjectStore("photos", { keyPath: "sum" });
  made.createObjectStore("bytes");
  made.createObjectStore("meta");
});

/** How many of those that home has keep their bytes here [photos]; some 300 kB each at most. */
const KEEP_BYTES_OF = 60;
/** And how many their small picture, of some 15 kB. */
const KEEP_SMALL_OF = 300;
export const GONE = "photo_gone";
/** A photo that was picked and went into no entry is let go after this [ms]. */
const FORGET_PICKED_MS = 86_400_000;

/**
 * @typedef {object} Photo
 * @property {string} sum            SHA-256 of the bytes that are sent; the photo's name everywhere
 * @property {"picked"|"waiting"|"home"|"refused"} state   picked: in no entry yet; refused: home cannot take it
 * @property {string} author         who took it; only they send it
 * @property {number} taken_ms       by this device's clock
 * @property {string} mime
 * @property {number} size           bytes to send
 * @property {number} width_px
 * @property {number} height_px
 * @property {ArrayBuffer} small     a small picture of the same mime
 * @property {number} tries          how often home refused it
 * @property {import("./server.js").Problem|null} problem   why it was refused
 */

/** A photo whose bytes this device cleared away before they were sent. @param {Photo} photo @returns {Photo} */
export function goneOf(photo) {
  const problem = { code: GONE, what: "the phone cleared this photo away", where: "", right: "to take it again" };
  return { ...photo, state: "refused", problem };
}

/** Those the device could not store. @type {Map<string, {photo: Photo, bytes: ArrayBuffer}>} */
const held = new Map();
/** Those this page stored last, should the browser clear them away before they are sent. @type {typeof held} */
const spare = new Map();
const SPARE_PHOTOS = 20;

export const whenPhotosClosed = db.whenClosed;

/** @param {Photo} photo @param {ArrayBuffer} bytes @returns {Promise<{stored: boolean, why?: any}>} */
export async function keepPhoto(photo, bytes) {
  try {
    await db.transact(["photos", "bytes"], "readwrite", (store) => Promise.all([
      store("photos").put(photo), store("bytes").put({ mime: photo.mime, bytes }, photo.sum)]));
    spare.set(photo.sum, { photo, bytes });
    for (const sum of [...spare.keys()].slice(0, -SPARE_PHOTOS)) spare.delete(sum);
    return { stored: true };
  } catch (why) {
    held.set(photo.sum, { photo, bytes });
    return { stored: false, why };
  }
}

/** Try again to store what is held in memory. */
export async function storeHeldPhotos() {
  for (const { photo, bytes } of [...held.values()]) {
    held.delete(photo.sum);
    if (!(await keepPhoto(photo, bytes)).stored) return;
  }
}

/** The browser may have cleared what is still to be sent: what this page has of it goes back.
 * @param {Photo[]} wanted */
export async function putBackPhotos(wanted) {
  const there = new Set(await db.transact(["photos"], "readonly", (store) => store("photos").getAllKeys()));
  for (const photo of wanted) {
    const one = spare.get(photo.sum);
    if (one && !there.has(photo.sum)) await keepPhoto(photo, one.bytes);
  }
}

/** @param {string} sum */
export function isHeld(sum) {
  return held.has(sum);
}

/** Everything known of photos here, and which log of home's they were sent to.
 * @returns {Promise<{photos: Photo[], epoch: string|null}>} */
export async function readPhotos() {
  return db.transact(["photos", "meta"], "readonly", async (store) => {
    const [photos, epoch] = await Promise.all([store("photos").getAll(), store("meta").get("epoch")]);
    const stored = photos.filter((/** @type {Photo} */ one) => !held.has(one.sum));
    return { photos: [...stored, ...[...held.values()].map(({ photo }) => photo)], epoch: epoch ?? null };
  });
}

/** A photo as it stands now, with its bytes when they are here.
 * @param {string} sum @returns {Promise<{photo: Photo|null, bytes: ArrayBuffer|null}>} */
export async function readPhoto(sum) {
  const loose = held.get(sum);
  if (loose) return loose;
  return db.transact(["photos", "bytes"], "readonly", async (store) => {
    const [photo, kept] = await Promise.all([store("photos").get(sum), store("bytes").get(sum)]);
    return { photo: photo ?? null, bytes: kept?.bytes ?? null };
  });
}

/** Write down what became of photos. @param {Photo[]} photos */
export async function writePhotos(photos) {
  for (const photo of photos) {
    if (photo.state === "home") spare.delete(photo.sum);
    const loose = held.get(photo.sum);
    if (loose) held.set(photo.sum, { ...loose, photo });
    if (loose && photo.state === "home") held.delete(photo.sum);
  }
  const stored = photos.filter((photo) => !held.has(photo.sum));
  if (stored.length === 0) return;
  await db.transact(["photos"], "readwrite", (store) =>
    Promise.all(stored.map((photo) => store("photos").put(photo))));
}

/** @param {string} epoch */
export function noteEpoch(epoch) {
  return db.transact(["meta"], "readwrite", (store) => store("meta").put(epoch, "epoch"));
}

/** @param {string[]} sums */
export async function dropPhotos(sums) {
  for (const sum of sums) {
    held.delete(sum);
    spare.delete(sum);
  }
  if (sums.length === 0) return;
  await db.transact(["photos", "bytes"], "readwrite", (store) =>
    Promise.all(sums.flatMap((sum) => [store("photos").delete(sum), store("bytes").delete(sum)])));
}

/** Which photos this device lets go of, and which lose their bytes alone: never one that is still to be sent.
 * @param {Photo[]} photos @param {number} now_ms @returns {{all: string[], bytes: string[]}} sums */
export function tooMany(photos, now_ms) {
  const home = photos.filter((one) => one.state === "home").sort((a, b) => b.taken_ms - a.taken_ms);
  const stray = photos.filter((one) => one.state === "picked" && now_ms - one.taken_ms > FORGET_PICKED_MS);
  return {
    all: [...home.slice(KEEP_SMALL_OF), ...stray].map((one) => one.sum),
    bytes: home.slice(KEEP_BYTES_OF, KEEP_SMALL_OF).map((one) => one.sum),
  };
}

/** @param {string[]} sums */
export async function dropBytes(sums) {
  if (sums.length === 0) return;
  await db.transact(["bytes"], "readwrite", (store) => Promise.all(sums.map((sum) => store("bytes").delete(sum))));
}

/** The sums whose bytes are here. @returns {Promise<Set<string>>} */
export async function sumsWithBytes() {
  return new Set(await db.transact(["bytes"], "readonly", (store) => store("bytes").getAllKeys()));
}
