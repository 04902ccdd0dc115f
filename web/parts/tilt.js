/* The phone's tilt sensor as a gauge: whether there is one, when it lies still. What its tilt says is work/tilt.js. */

import { held, longEdge, moved } from "../work/tilt.js";

/** @import { Hold, Lying } from "../work/tilt.js" */

/**
 * @typedef {{ requestPermission?: () => Promise<"granted" | "denied"> }} Asking Some browsers want permission first.
 */

/** Time the phone must lie still, [ms], the pace of looking, [ms], and how far it may move meanwhile, [deg]. */
export const HOLD_MS = 1500;
export const PACE_MS = 50;
export const STILL_DEG = 0.4;

/** What stands in the way: "" (nothing known yet), "insecure" (address not trusted) or "missing". */
export function obstacle() {
  if (!globalThis.isSecureContext) return "insecure";
  return typeof globalThis.DeviceOrientationEvent === "undefined" ? "missing" : "";
}

const sensor = () => /** @type {Asking | undefined} */ (globalThis.DeviceOrientationEvent);

/** Whether a silent sensor may want permission first. Some browsers have the question and answer without it. */
export const mayAsk = () => typeof sensor()?.requestPermission === "function";

/** Ask for permission, from a tap; true when it was given. */
export const permitted = async () =>
  (await sensor()
    ?.requestPermission?.()
    .catch(() => "denied")) === "granted";

/**
 * Listen to the sensor: `ontilt({alpha, beta, gamma})` at every change (a phone that lies still sends nothing).
 * Returns how to stop.
 * @param {(tilt: Lying) => void} ontilt
 */
export function watchTilt(ontilt) {
  const hear = (/** @type {DeviceOrientationEvent} */ { alpha, beta, gamma }) => {
    // A browser without a sensor sends one event with nothing in it.
    if (typeof beta === "number" && typeof gamma === "number") ontilt({ alpha: alpha ?? 0, beta, gamma });
  };
  addEventListener("deviceorientation", hear);
  return () => removeEventListener("deviceorientation", hear);
}

/**
 * Wait until the phone lies still: `after` a tilt it must first have moved from, or null. Looks at `tilt()` at a steady
 * pace, for a phone that lies still sends no events. `onprogress(0..1)`.
 * @param {() => Lying | null | undefined} tilt
 * @param {{ after?: Lying | null, onprogress?: (part: number) => void }} [how]
 * @returns {{ done: Promise<Hold & { tilt: Lying }>, stop: () => void }}
 */
export function hold(tilt, { after = null, onprogress = () => {} } = {}) {
  /** @type {number[]} */
  let values = [];
  let waiting = after;
  /** @type {ReturnType<typeof setInterval> | undefined} */
  let timer;
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
