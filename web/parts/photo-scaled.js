/* A picture from the camera, made small: drawn anew, turned as it was held, so that nothing of what the camera wrote
   beside it is left. How small stands in work/photo-size.js. */

import { fits, light, tries } from "../work/photo-size.js";

/** @typedef {{ bytes: Uint8Array, width: number, height: number }} Scaled */

/**
 * @param {ImageBitmap} image
 * @param {{ width: number, height: number, quality: number }} how
 * @returns {Promise<Uint8Array | null>}
 */
async function drawn(image, { width, height, quality }) {
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const pen = canvas.getContext("2d", { alpha: false });
  if (!pen) return null;
  pen.imageSmoothingQuality = "high";
  pen.drawImage(image, 0, 0, width, height);
  const blob = await new Promise((/** @type {(blob: Blob | null) => void} */ done) =>
    canvas.toBlob(done, "image/jpeg", quality),
  );
  // Its pixels are given back at once: a phone has few canvases' worth of memory.
  canvas.width = 0;
  return blob && new Uint8Array(await blob.arrayBuffer());
}

/**
 * The picture as it is kept; null where the file is none that this browser can draw, or it does not get small enough.
 * @param {Blob} file
 * @returns {Promise<Scaled | null>}
 */
export async function scaled(file) {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => null);
  if (!image) return null;
  /** @type {Scaled | null} */
  let best = null;
  for (const how of tries(image)) {
    const bytes = await drawn(image, how);
    if (bytes && fits(bytes.length)) best = { bytes, width: how.width, height: how.height };
    if (bytes && light(bytes.length)) break;
  }
  image.close();
  return best;
}
