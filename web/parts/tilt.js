/* The phone's tilt sensor as a gauge: whether there is one, what it says about the phone's edges, when it lies still.

   Vectors as in the W3C's Device Orientation specification: device axes x to the right of the screen, y to its top, z out
   of it, whichever way the picture on it is turned; R = Z(alpha) X'(beta) Y''(gamma); its bottom row is the way up in those
   axes. Angles in degrees. Knows nothing of arms or sides. */

const RAD = Math.PI / 180;

/** Time the phone must lie still, [ms], the pace of looking, [ms], and how far it may move meanwhile, [deg]. */
export const HOLD_MS = 1500;
export const PACE_MS = 50;
export const STILL_DEG = 0.4;
const MOVED_DEG = 3;
const SWUNG_DEG = 20;

/** The way up in the phone's own axes: [x, y, z], of length 1. */
export function up({ beta, gamma }) {
  const [b, g] = [beta * RAD, gamma * RAD];
  return [-Math.cos(b) * Math.sin(g), Math.sin(b), Math.cos(b) * Math.cos(g)];
}

const elevation = (part) => Math.asin(Math.max(-1, Math.min(1, part))) / RAD;

/** How far the phone's top end is above its bottom end, along its long edge. */
export const longEdge = (tilt) => elevation(up(tilt)[1]);

/** How far its right edge is above its left edge, along its short edge. */
export const shortEdge = (tilt) => elevation(up(tilt)[0]);

/** What the phone lies on: "back", "face", "left edge" or "right edge". */
export function lie(tilt) {
  const [x, , z] = up(tilt);
  if (Math.abs(z) >= Math.abs(x)) return z > 0 ? "back" : "face";
  return x > 0 ? "left edge" : "right edge";
}

/** A level turned end for end: {slope, zero} from its readings one way and the other, sign kept. */
export const reversal = (one, other) => ({ slope: (one - other) / 2, zero: (one + other) / 2 });

/** Mean and standard deviation of a hold. */
export function held(values) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, values.length - 1);
  return { mean, sd: Math.sqrt(square) };
}

/** Whether a phone was taken up and laid down again between two tilts. */
export function moved(before, now) {
  const swing = Math.abs(((now.alpha - before.alpha + 540) % 360) - 180);
  return Math.abs(longEdge(now) - longEdge(before)) > MOVED_DEG || lie(now) !== lie(before) || swing > SWUNG_DEG;
}

/** What stands in the way: "" (nothing known yet), "insecure" (address not trusted) or "missing". */
export function obstacle() {
  if (!globalThis.isSecureContext) return "insecure";
  return typeof globalThis.DeviceOrientationEvent === "undefined" ? "missing" : "";
}

/** Whether a silent sensor may want permission first. Some browsers have the question and answer without it. */
export const mayAsk = () => typeof globalThis.DeviceOrientationEvent?.requestPermission === "function";

/** Ask for permission, from a tap; true when it was given. */
export const permitted = async () =>
  (await DeviceOrientationEvent.requestPermission().catch(() => "denied")) === "granted";

/**
 * Listen to the sensor: `ontilt({alpha, beta, gamma})` at every change (a phone that lies still sends nothing).
 * Returns how to stop.
 */
export function watchTilt(ontilt) {
  const hear = ({ alpha, beta, gamma }) => {
    // A browser without a sensor sends one event with nothing in it.
    if (typeof beta === "number" && typeof gamma === "number") ontilt({ alpha: alpha ?? 0, beta, gamma });
  };
  addEventListener("deviceorientation", hear);
  return () => removeEventListener("deviceorientation", hear);
}

/**
 * Wait until the phone lies still: `after` a tilt it must first have moved from, or null. Looks at `tilt()` at a steady pace,
 * for a phone that lies still sends no events. `onprogress(0..1)`. Returns {done: promise of {mean, sd, tilt}, stop}.
 */
export function hold(tilt, { after = null, onprogress = () => {} } = {}) {
  let values = [];
  let waiting = after;
  let timer = 0;
  const done = new Promise((resolve) => {
    timer = setInterval(() => {
      const now = tilt();
      if (!now) return;
      if (waiting && !moved(waiting, now)) return;
      waiting = null;
      values.push(longEdge(now));
      while (Math.max(...values) - Math.min(...values) > STILL_DEG) values.shift();
      const progress = (values.length * PACE_MS) / HOLD_MS;
      onprogress(Math.min(1, progress));
      if (progress < 1) return;
      clearInterval(timer);
      resolve({ ...held(values), tilt: now });
    }, PACE_MS);
  });
  const stop = () => {
    clearInterval(timer);
    values = [];
  };
  return { done, stop };
}
