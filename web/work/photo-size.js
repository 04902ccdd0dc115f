/* How small a photo is made before it is kept, and what is taken out of it. Arithmetic and bytes only: the drawing is
   parts/photo-scaled.js.

   A photo of a paint mark or a gauge is looked at on a phone and on paper; 1,600 pixels show a scriber's line on a
   spline and take a poor network seconds. Drawn anew it has none of what the camera wrote into it. That is looked at
   once more here, since place and time of a customer's yard are nobody's business. */

import { PHOTO_BYTES } from "../model/facts.js";

/** @typedef {{ width: number, height: number }} Size */

/** The longer side at most, in pixels. */
export const LONGEST = 1600;
/** What a photo should weigh at most, in bytes. */
export const AIM_BYTES = 300_000;
/** What is tried, one after the other, until it weighs no more: the longer side, and the JPEG's quality. */
const TRIES = [
  [LONGEST, 0.8],
  [LONGEST, 0.65],
  [1280, 0.65],
  [1024, 0.6],
  [800, 0.5],
];

/**
 * A size within so many pixels, in the same shape; never made larger.
 * @param {Size} size
 * @param {number} [longest]
 * @returns {Size}
 */
export function within({ width, height }, longest = LONGEST) {
  const by = Math.min(1, longest / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * by)), height: Math.max(1, Math.round(height * by)) };
}

/**
 * What to try for a photo of that size, in order.
 * @param {Size} size
 * @returns {(Size & { quality: number })[]}
 */
export const tries = (size) => TRIES.map(([longest, quality]) => ({ ...within(size, longest), quality }));

/** Whether it weighs little enough to stop trying. @param {number} bytes */
export const light = (bytes) => bytes <= AIM_BYTES;

/** Whether it may be kept at all. @param {number} bytes */
export const fits = (bytes) => bytes > 0 && bytes <= PHOTO_BYTES;

/**
 * A JPEG without what cameras and programs write beside the picture (EXIF with place and time, maker's notes, XMP,
 * comments); anything else as it is. Segments: ITU-T T.81, B.1.1.3.
 * @param {Uint8Array} bytes
 * @returns {Uint8Array<ArrayBuffer>}
 */
export function bare(bytes) {
  const whole = () => new Uint8Array(bytes);
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return whole();
  /** @type {number[]} */
  const out = [0xff, 0xd8];
  let at = 2;
  while (at + 4 <= bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1];
    // From the start of scan on there are only the picture's own bytes.
    if (marker === 0xda) break;
    const end = at + 2 + bytes[at + 2] * 256 + bytes[at + 3];
    // Cut off: what is left is no segment.
    if (end > bytes.length) break;
    // APP1 to APP13, APP15 and comments go; APP0 is JFIF's, APP14 says how colours are meant.
    const told = (marker > 0xe0 && marker <= 0xef && marker !== 0xee) || marker === 0xfe;
    if (!told) for (let i = at; i < end; i += 1) out.push(bytes[i]);
    at = end;
  }
  const clean = new Uint8Array(out.length + bytes.length - at);
  clean.set(out);
  clean.set(bytes.subarray(at), out.length);
  return clean;
}

/**
 * The media type of an image by its first bytes, as the shop tells it (book/photos.py); "" where it is none.
 * @param {Uint8Array} bytes
 */
export function kindOf(bytes) {
  const begins = (/** @type {number} */ at, /** @type {number[]} */ ...some) =>
    some.every((b, i) => bytes[at + i] === b);
  if (begins(0, 0xff, 0xd8, 0xff)) return "image/jpeg";
  if (begins(0, 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return "image/png";
  if (begins(0, 0x52, 0x49, 0x46, 0x46) && begins(8, 0x57, 0x45, 0x42, 0x50)) return "image/webp";
  return "";
}
