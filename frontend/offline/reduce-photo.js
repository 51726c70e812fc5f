// Makes of a picture, as a camera or a gallery hands it over, one that a thin line can carry: upright, its longest side
// 1600 pixels, a JPEG of some 300 kB, and nothing in it but what is seen. A small one for lists comes with it.
//
// Drawn by way of an image element: every browser of ours turns that one upright by what the camera noted, and whatever
// it can show (HEIC on some phones), it can reduce.

const LONGEST_PX = 1600;
const SMALL_PX = 320;
const MOST_BYTES = 300_000;
const SMALL_QUALITY = 0.7;
/** Tried in this order until the bytes are few enough: (part of the longest side, quality). */
const TRIES = [[1, 0.82], [1, 0.7], [1, 0.55], [0.75, 0.7], [0.75, 0.5], [0.5, 0.6], [0.35, 0.5]];

/** The file is no picture, or none this browser can show. */
export class NoPicture extends Error {}

/** @typedef {{bytes: ArrayBuffer, small: ArrayBuffer, width_px: number, height_px: number}} Reduced   both JPEG */

/** @param {Blob} file @returns {Promise<Reduced>} throws NoPicture */
export async function reducePhoto(file) {
  const url = URL.createObjectURL(file);
  try {
    const image = new Image();
    image.src = url;
    await image.decode().catch(() => { throw new NoPicture(); });
    if (!image.naturalWidth || !image.naturalHeight) throw new NoPicture();
    const { bytes, canvas } = await fewEnough(image);
    const small = await asJpeg(drawn(image, SMALL_PX), SMALL_QUALITY);
    return { bytes, small, width_px: canvas.width, height_px: canvas.height };
  } finally {
    URL.revokeObjectURL(url);
  }
}

/** @param {HTMLImageElement} image */
async function fewEnough(image) {
  for (const [part, quality] of TRIES) {
    const canvas = drawn(image, LONGEST_PX * part);
    const bytes = await asJpeg(canvas, quality);
    if (bytes.byteLength <= MOST_BYTES) return { bytes, canvas };
  }
  throw new NoPicture();
}

/** @param {HTMLImageElement} image @param {number} longest_px never made larger than it is */
function drawn(image, longest_px) {
  const { naturalWidth: width, naturalHeight: height } = image;
  const scale = Math.min(1, longest_px / Math.max(width, height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(width * scale));
  canvas.height = Math.max(1, Math.round(height * scale));
  const context = canvas.getContext("2d");
  if (!context) throw new NoPicture();
  // What is see-through would come out black.
  context.fillStyle = "white";
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.imageSmoothingQuality = "high";
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  return canvas;
}

/** @param {HTMLCanvasElement} canvas @param {number} quality @returns {Promise<ArrayBuffer>} */
async function asJpeg(canvas, quality) {
  const blob = await new Promise((tell) => { canvas.toBlob(tell, "image/jpeg", quality); });
  // A browser short of memory hands back nothing.
  if (!(blob instanceof Blob)) throw new NoPicture();
  return new Response(blob).arrayBuffer();
}
