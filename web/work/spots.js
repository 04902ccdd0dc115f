/* Where the car stood when its heights were read. A floor is not flat: heights of two places cannot be compared to the
   millimetre, so a reading carries its place, and it is asked for when the car may have moved meanwhile. Decides only.

   A place is a word of the log; the first one has none. */

import { poseKey } from "./sheet.js";

/** @import { ReadingRow } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

/** @typedef {Pick<ReadingRow, "what" | "at"> & { spot?: string | null, pose?: PoseBody | null, teardown?: number }}
 *   Placed A reading, as far as its place goes. */
/** @typedef {{ readings: Placed[] }} Read What was read so far. */

const OF_THE_FLOOR = ["body-height", "wheel-load"];
const onFloor = (/** @type {Placed} */ row) => OF_THE_FLOOR.includes(row.what);
const dayOf = (/** @type {string} */ at) => new Date(at).toDateString();
const inUse = (/** @type {Pick<Placed, "spot">} */ row) => row.spot ?? "";

/** The last reading that the floor counts for, or undefined.
 * @param {Read} sheet @returns {Placed | undefined} */
const last = (sheet) => sheet.readings.filter(onFloor).at(-1);

/**
 * The place the car was last read at: "" for the first.
 * @param {Read} sheet
 * @returns {string}
 */
export const lastSpot = (sheet) => inUse(last(sheet) ?? {});

/**
 * A name for a place not used yet: "place 2".
 * @param {Read} sheet
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
 * @param {Read} sheet
 * @param {{what: string, pose?: PoseBody, teardown: number}} reading to be read
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
