// Draws a picture anew, small enough to be sent, and a small one for lists: on the page or away from it.

/** @typedef {{bytes: ArrayBuffer, small: ArrayBuffer, width_px: number, height_px: number}} Reduced   both JPEG */
/** @typedef {HTMLCanvasElement|OffscreenCanvas} Canvas */

const LONGEST_PX = 1600;
const SMALL_PX = 320;
const MOST_BYTES = 300_000;
const SMALL_QUALITY = 0.7;
/** Tried in this order until the bytes are few enough: (part of the longest side, quality). */
const TRIES = [[1, 0.82], [1, 0.7], [1, 0.55], [0.75, 0.7], [0.75, 0.5], [0.5, 0.6], [0.35, 0.5]];

/** @param {CanvasImageSource} picture @param {{width: number, height: number}} size of the picture
 * @param {(width: number, height: number) => Canvas} canvasOf
 * @returns {Promise<Reduced|null>} null: this browser cannot draw it */
export async function drawPhoto(picture, size, canvasOf) {
  /** @type {Canvas|null} */
  let canvas = null;
  for (const [part, quality] of TRIES) {
    const longest_px = LONGEST_PX * part;
    if (!canvas || Math.max(canvas.width, canvas.height) > longest_px) {
      canvas = drawn(picture, size, longest_px, canvasOf);
    }
    const bytes = canvas && await asJpeg(canvas, quality);
    if (!canvas || !bytes) return null;
    if (bytes.byteLength > MOST_BYTES) continue;
    // Of what is reduced already: the picture itself may have forty times as many pixels.
    const small = drawn(canvas, canvas, SMALL_PX, canvasOf);
    const small_bytes = small && await asJpeg(small, SMALL_QUALITY);
    return small_bytes && { bytes, small: small_bytes, width_px: canvas.width, height_px: canvas.height };
  }
  return null;
}

/** @param {CanvasImageSource} picture @param {{width: number, height: number}} size
 * @param {number} longest_px never made larger than it is
 * @param {(width: number, height: number) => Canvas} canvasOf @returns {Canvas|null} */
function drawn(picture, { width, height }, longest_px, canvasOf) {
  const scale = Math.min(1, longest_px / Math.max(width, height));
  const canvas = canvasOf(Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale)));
  const context = /** @type {CanvasRenderingContext2D|null} */ (canvas.getContext("2d"));
  if (!context) return null;
  // What is see-through would come out black.
  context.fillStyle = "white";
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.imageSmoothingQuality = "high";
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

/** @param {Canvas} canvas @param {number} quality @returns {Promise<ArrayBuffer|null>} */
async function asJpeg(canvas, quality) {
  const blob = "convertToBlob" in canvas ? await canvas.convertToBlob({ type: "image/jpeg", quality })
    : await new Promise((tell) => { canvas.toBlob(tell, "image/jpeg", quality); });
  // A browser short of memory hands back nothing.
  return blob instanceof Blob ? new Response(blob).arrayBuffer() : null;
}
