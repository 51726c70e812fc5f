// Photos: taken in from the camera or the gallery, kept on this device, sent in their own time, found again by sum.
import { readPlace, writeMeta } from "./offline/local-db.js";
import { NoPicture, reducePhoto, TooManyPixels } from "./offline/reduce-photo.js";
import { makePhotoLane } from "./offline/photo-lane.js";
import {
  dropBytes, dropPhotos, GONE, goneOf, isHeld, keepPhoto, putBackPhotos, readPhoto, readPhotos, storeHeldPhotos,
  tooMany, whenPhotosClosed, writePhotos,
} from "./offline/photos-db.js";
import { sha256 } from "./offline/sha256.js";
import { get, update } from "./store.js";
import { photoWords } from "./words/photo-words.js";

/** @typedef {import("./offline/photos-db.js").Photo} Photo */
/** @typedef {import("./domain/types.js").Entry} Entry */

/** As many as the server takes with one entry. */
export const MOST_PHOTOS = 6;

const lane = makePhotoLane({
  author: () => get().person?.id ?? null,
  photos: () => [...get().photos.values()],
  changed: show,
  trouble: (problem) => update(() => ({ photo_problem: problem })),
});

/** Read what is on this device and begin to send. */
async function begin() {
  whenPhotosClosed(() => void putBack().catch(() => {}));
  // Out of the database's reach there are none but those taken from now on.
  await again().catch(() => {});
  if (!get().person) await left();
  const here = [...get().photos.values()];
  const { all, bytes } = tooMany(here, Date.now());
  const still = wanted();
  await drop(all.filter((sum) => get().photos.get(sum)?.state === "home" || !still.has(sum)));
  await dropBytes(bytes).catch(() => {});
  const { epoch } = await readPlace().catch(() => ({ epoch: null }));
  if (epoch) lane.epochs({ now: epoch });
  noteWaiting();
  send();
}

/** Read the device's photos again, as another tab may have left them. */
async function again() {
  const { photos: found, epoch } = await readPhotos();
  update(() => ({ photos: new Map(found.map((one) => [one.sum, one])) }));
  lane.epochs({ sent_to: epoch });
  // An entry that was written as its page died still wants those picked for it.
  if (found.some(({ state }) => state === "picked")) claim([...get().seen.values()].map((one) => one.entry));
}

function send() {
  storeHeldPhotos().then(lane.hopeful).catch(() => {});
}

/** The browser may have cleared the database under us: what is in memory goes back, what is lost is told of. */
async function putBack() {
  const waiting = [...get().photos.values()].filter(({ state }) => state === "waiting" || state === "picked");
  await putBackPhotos(waiting);
  await again();
  const lost = waiting.filter(({ sum }) => !get().photos.has(sum)).map(goneOf);
  await writePhotos(lost).catch(() => {});
  show(lost);
}

/** @param {Photo[]} some */
function show(some) {
  update((old) => ({ photos: new Map([...old.photos, ...some.map((one) => /** @type {const} */ ([one.sum, one]))]) }));
  noteWaiting();
}

/** What was last written down, so that the script that sees to photos is fetched whenever some wait.
 * @type {boolean|null} */
let noted = null;

function noteWaiting() {
  const photos_wait = [...get().photos.values()].some(({ state }) => state === "picked" || state === "waiting");
  if (photos_wait === noted) return;
  noted = photos_wait;
  writeMeta({ photos_wait }).catch(() => { noted = null; });
}

/** Make a photo of a file: reduce it and keep it, to go with an entry that is yet to be written.
 * @param {File} file @returns {Promise<{sum: string, why: ""} | {sum: null, why: string}>} `why` is a sentence */
export async function takeIn(file) {
  try {
    const { bytes, small, width_px, height_px } = await reducePhoto(file);
    const sum = await sha256(bytes);
    const known = get().photos.get(sum);
    // The same picture chosen twice is one photo.
    if (known && known.state !== "refused") return { sum, why: "" };
    const author = get().person?.id ?? "";
    const size = bytes.byteLength;
    const made = { sum, author, taken_ms: Date.now(), mime: "image/jpeg", size, width_px, height_px, small };
    await keep({ ...made, state: "picked", tries: 0, problem: null }, bytes);
    return { sum, why: "" };
  } catch (error) {
    if (error instanceof TooManyPixels) return { sum: null, why: photoWords.too_many_pixels(file.name) };
    if (!(error instanceof NoPicture)) console.error(error);
    return { sum: null, why: photoWords.no_picture(file.name) };
  }
}

/** @param {Photo} photo @param {ArrayBuffer} bytes */
async function keep(photo, bytes) {
  const { stored, why } = await keepPhoto(photo, bytes);
  show([photo]);
  if (stored) return;
  const full = why?.name === "QuotaExceededError";
  update(() => ({ trouble: full ? photoWords.storage_full : photoWords.storage_broken }));
}

/** The sums an entry speaks of. @param {Entry} entry @returns {string[]} */
function sumsOf(entry) {
  const picture = entry.kind === "set" && entry.field === "picture" && typeof entry.value === "string";
  const shown = entry.kind === "set" && entry.field === "shown" && Array.isArray(entry.value) ? entry.value : [];
  return [...entry.photos ?? [], ...picture ? [entry.value] : [],
    ...shown.map((/** @type {any} */ one) => one?.photo).filter((/** @type {any} */ sum) => typeof sum === "string")];
}

function wanted() {
  return new Set([...get().seen.values()].flatMap((one) => sumsOf(one.entry)));
}

/** Entries were written: the photos picked for them are to be sent. @param {Entry[]} entries */
function claim(entries) {
  const picked = entries.flatMap(sumsOf).map((sum) => get().photos.get(sum)).filter((one) => one?.state === "picked");
  if (picked.length === 0) return;
  const now = /** @type {Photo[]} */ (picked).map((one) => ({ ...one, state: /** @type {const} */ ("waiting") }));
  writePhotos(now).catch(() => {}).then(() => {
    show(now);
    send();
  });
}

/** A photo was picked and taken out again. @param {string} sum */
export function letGo(sum) {
  if (get().photos.get(sum)?.state === "picked" && !wanted().has(sum)) drop([sum]);
}

/** @param {string[]} sums */
async function drop(sums) {
  update((old) => ({ photos: new Map([...old.photos].filter(([sum]) => !sums.includes(sum))) }));
  for (const sum of sums) {
    URL.revokeObjectURL(smalls.get(sum) ?? "");
    smalls.delete(sum);
  }
  await dropPhotos(sums).catch(() => {});
  noteWaiting();
}

/** Signed out: what home has leaves this device; what waits stays, and what home could not take. */
function left() {
  const still = wanted();
  const goes = (/** @type {Photo} */ { state, sum }) => state === "home" || (state === "picked" && !still.has(sum));
  return drop([...get().photos.values()].filter(goes).map((one) => one.sum));
}

/** @param {string} sum whether this page alone has it */
export function isOnlyHere(sum) {
  return isHeld(sum);
}

/** @param {Photo} photo whether this device cleared away what was to be sent */
export function isGone(photo) {
  return photo.problem?.code === GONE;
}

/** @type {Map<string, string>} */
const smalls = new Map();

/** Where a small picture is found: on this device, else at home. @param {string} sum */
export function smallUrl(sum) {
  const photo = get().photos.get(sum);
  if (!photo) return `/api/photos/${sum}/small`;
  const url = smalls.get(sum) ?? URL.createObjectURL(new Blob([photo.small], { type: photo.mime }));
  smalls.set(sum, url);
  return url;
}

/** Where the whole picture is found; an address of this device's is to be revoked when it is no longer looked at.
 * @param {string} sum @returns {Promise<string>} */
export async function wholeUrl(sum) {
  const { photo, bytes } = get().photos.has(sum)
    ? await readPhoto(sum).catch(() => ({ photo: null, bytes: null })) : { photo: null, bytes: null };
  return photo && bytes ? URL.createObjectURL(new Blob([bytes], { type: photo.mime })) : `/api/photos/${sum}`;
}

/** Joined to what goes on while the app is open (live.js). @type {import("./live.js").Beside} */
export const photos = {
  begin, again, left, recorded: claim, hopeful: send, met: (epoch) => lane.epochs({ now: epoch }),
};
