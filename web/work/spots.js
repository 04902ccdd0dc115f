/* Where the car stood when its heights were read. A floor is not flat: heights of two places cannot be compared to the
   millimetre, so a reading carries its place, and it is asked for when the car may have moved meanwhile. Decides only.

   A place is a word of the log; the first one has none. */

import { poseKey } from "./sheet.js";

/** @typedef {Record<string, any>} Reading */

const OF_THE_FLOOR = ["body-height", "wheel-load"];
const onFloor = (/** @type {Reading} */ row) => OF_THE_FLOOR.includes(row.what);
const dayOf = (/** @type {string} */ at) => new Date(at).toDateString();
const inUse = (/** @type {Reading} */ row) => row.spot ?? "";

/** The last reading that the floor counts for, or undefined.
 * @param {any} sheet @returns {Reading | undefined} */
const last = (sheet) => sheet.readings.filter(onFloor).at(-1);

/**
 * The place the car was last read at: "" for the first.
 * @param {any} sheet
 * @returns {string}
 */
export const lastSpot = (sheet) => inUse(last(sheet) ?? {});

/**
 * A name for a place not used yet: "place 2".
 * @param {any} sheet
 * @returns {string}
 */
export function newSpot(sheet) {
  const used = new Set(sheet.readings.map(inUse));
  let n = 2;
  while (used.has(`place ${n}`)) n += 1;
  return `place ${n}`;
}

/**
 * Whether to ask if the car stands where it stood: it was on a board, apart, or another day has come since.
 * @param {any} sheet
 * @param {{what: string, pose?: any, teardown: number}} reading to be read
 * @param {string} now a time
 * @returns {boolean}
 */
export function asksSpot(sheet, { what, pose, teardown }, now) {
  const before = last(sheet);
  // Onto a board the car is only lifted: it is asked when it comes off.
  if (!OF_THE_FLOOR.includes(what) || !before || poseKey(pose) !== poseKey(undefined)) return false;
  return (
    poseKey(before.pose) !== poseKey(pose) || (before.teardown ?? 0) !== teardown || dayOf(before.at) !== dayOf(now)
  );
}
