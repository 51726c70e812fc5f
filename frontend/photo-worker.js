// Reduces photos away from the page's own thread, which a large one would stop for seconds on a slow phone. A script of
// its own: { file } and a port come in, what was made of it goes back through the port; null where this browser cannot.
import { drawPhoto } from "./offline/draw-photo.js";

/** A picture one pixel high whose note says that it stands on its side: turned upright it is two high. */
const ON_ITS_SIDE = "/9j/4AAQSkZJRgABAQAAAQABAAD/4QAiRXhpZgAATU0AKgAAAAgAAQESAAMAAAABAAYAAAAAAAD/2wBDAFA3PEY8MlBGQUZa"
  + "VVBfeMiCeG5uePWvuZHI////////////////////////////////////////////////////wAALCAABAAIBAREA/8QAFAABAAAAAAAAAAAAAAAA"
  + "AAAABP/EABkQAAEFAAAAAAAAAAAAAAAAAAMAATNysf/aAAgBAQAAPwBQYB1bF//Z";

/** Whether bitmaps are turned upright by what the camera noted: some browsers turn image elements alone. */
const turns = (async () => {
  const bytes = Uint8Array.from(atob(ON_ITS_SIDE), (letter) => letter.charCodeAt(0));
  const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/jpeg" }));
  return bitmap.height === 2;
})().catch(() => false);

/** @param {Blob} file @returns {Promise<import("./offline/draw-photo.js").Reduced|null>} */
async function reduced(file) {
  if (!(await turns)) return null;
  const bitmap = await createImageBitmap(file);
  try {
    return await drawPhoto(bitmap, bitmap, (width, height) => new OffscreenCanvas(width, height));
  } finally {
    bitmap.close();
  }
}

addEventListener("message", async ({ data, ports }) => {
  const made = await reduced(data.file).catch(() => null);
  ports[0].postMessage(made, made ? [made.bytes, made.small] : []);
});
