// Makes a photo small enough to be sent, upright and without the camera's notes: it is drawn anew, so that nothing is
// left of the file but what is seen. A small one for lists comes with it.
//
// - Away from the page where the browser can (photo-worker.js), else by way of an image element: every browser of ours
//   turns that one upright by what the camera noted, and whatever it can show (HEIC on some phones), it can reduce.
// - How many pixels it has is known before any is made: a file of a few kilobytes can claim gigabytes.
import { drawPhoto } from "./draw-photo.js";

/** More than any phone's camera takes by itself, and as much memory as a page may hope for. */
const MOST_PIXELS = 120_000_000;
const PATIENCE_MS = 60_000;

/** The file is no picture, or none this browser can show. */
export class NoPicture extends Error {}
/** Drawing it would take more memory than a phone has. */
export class TooManyPixels extends Error {}

/** @typedef {import("./draw-photo.js").Reduced} Reduced */

/** @param {Blob} file @returns {Promise<Reduced>} throws NoPicture, TooManyPixels */
export async function reducePhoto(file) {
  const url = URL.createObjectURL(file);
  try {
    const image = await opened(url);
    if (image.naturalWidth * image.naturalHeight > MOST_PIXELS) throw new TooManyPixels();
    return await aside(file) ?? await onThePage(image);
  } finally {
    URL.revokeObjectURL(url);
  }
}

/** Its size is known, its pixels are not yet drawn. @param {string} url @returns {Promise<HTMLImageElement>} */
async function opened(url) {
  const image = new Image();
  await new Promise((done, fail) => {
    image.onload = done;
    image.onerror = () => fail(new NoPicture());
    image.src = url;
  });
  if (!image.naturalWidth || !image.naturalHeight) throw new NoPicture();
  return image;
}

/** @type {Worker|null|undefined} null: this browser has none that can */
let worker;

/** @param {Blob} file @returns {Promise<Reduced|null>} null: not to be had this way */
async function aside(file) {
  if (worker === undefined) worker = hired();
  const at_work = worker;
  if (!at_work) return null;
  const { port1, port2 } = new MessageChannel();
  const answer = await new Promise((tell) => {
    port1.onmessage = ({ data }) => tell(data);
    at_work.addEventListener("error", () => tell(undefined), { once: true });
    setTimeout(tell, PATIENCE_MS);
    at_work.postMessage({ file }, [port2]);
  });
  port1.close();
  if (answer === undefined && worker === at_work) {
    at_work.terminate();
    worker = null;
  }
  return answer ?? null;
}

function hired() {
  try {
    return typeof OffscreenCanvas === "undefined" ? null : new Worker("/photo-worker.js", { type: "module" });
  } catch {
    return null;
  }
}

/** @param {HTMLImageElement} image @returns {Promise<Reduced>} */
async function onThePage(image) {
  await image.decode().catch(() => { throw new NoPicture(); });
  const size = { width: image.naturalWidth, height: image.naturalHeight };
  const made = await drawPhoto(image, size, (width, height) =>
    Object.assign(document.createElement("canvas"), { width, height }));
  if (!made) throw new NoPicture();
  return made;
}
