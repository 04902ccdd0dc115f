/* What a tilt sensor says about the phone's edges. Pure.

   Vectors as in the W3C's Device Orientation specification: device axes x to the right of the screen, y to its top, z
   out of it, whichever way the picture on it is turned; R = Z(alpha) X'(beta) Y''(gamma); its bottom row is the
   way up in those axes. Angles in degrees. Knows nothing of arms or sides. */

/** @typedef {{ beta: number, gamma: number }} Tilt */
/** @typedef {Tilt & { alpha: number }} Lying A tilt with the way it points. */
/** @typedef {{ mean: number, sd: number }} Hold */

const RAD = Math.PI / 180;
const MOVED_DEG = 3;
const SWUNG_DEG = 20;

/**
 * The way up in the phone's own axes, of length 1.
 * @param {Tilt} tilt
 * @returns {[x: number, y: number, z: number]}
 */
export function up({ beta, gamma }) {
  const [b, g] = [beta * RAD, gamma * RAD];
  return [-Math.cos(b) * Math.sin(g), Math.sin(b), Math.cos(b) * Math.cos(g)];
}

/** @param {number} part */
const elevation = (part) => Math.asin(Math.max(-1, Math.min(1, part))) / RAD;

/**
 * How far the phone's top end is above its bottom end, along its long edge.
 * @param {Tilt} tilt
 */
export const longEdge = (tilt) => elevation(up(tilt)[1]);

/**
 * How far its right edge is above its left edge, along its short edge.
 * @param {Tilt} tilt
 */
export const shortEdge = (tilt) => elevation(up(tilt)[0]);

/**
 * What the phone lies on.
 * @param {Tilt} tilt
 * @returns {"back" | "face" | "left edge" | "right edge"}
 */
export function lie(tilt) {
  const [x, , z] = up(tilt);
  if (Math.abs(z) >= Math.abs(x)) return z > 0 ? "back" : "face";
  return x > 0 ? "left edge" : "right edge";
}

/**
 * A level turned end for end: {slope, zero} from its readings one way and the other, sign kept.
 * @param {number} one
 * @param {number} other
 */
export const reversal = (one, other) => ({ slope: (one - other) / 2, zero: (one + other) / 2 });

/**
 * Mean and standard deviation of a hold.
 * @param {number[]} values
 * @returns {Hold}
 */
export function held(values) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, values.length - 1);
  return { mean, sd: Math.sqrt(square) };
}

/**
 * Whether a phone was taken up and laid down again between two tilts.
 * @param {Lying} before
 * @param {Lying} now
 */
export function moved(before, now) {
  const swing = Math.abs(((now.alpha - before.alpha + 540) % 360) - 180);
  return Math.abs(longEdge(now) - longEdge(before)) > MOVED_DEG || lie(now) !== lie(before) || swing > SWUNG_DEG;
}
