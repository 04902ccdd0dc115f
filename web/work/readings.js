/* The kinds of reading in words: title, where gauge, tape or scale goes. Poses in words. Unit and spread are the
   model's own (model/facts.js). No screens. */

import { KINDS as FACTS_OF } from "../model/facts.js";
import { plain, angle } from "./numbers.js";
import { length } from "./units.js";

/** @import { Kind } from "../types/facts.d.ts" */
/** @import { ReadingBody, Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

/** @typedef {{ title: string, where: string, nudge?: number, mode?: string }} Said A kind of reading in words. */

/** @type {{ [what in What]?: Said }} */
const SAID = {
  "hanging-angle": {
    title: "Hanging angle",
    nudge: 0.5,
    mode: "hanging",
    where: "Axle stands, bar unloaded. Lift the arm to take up play, then read.",
  },
  "riding-angle": {
    title: "Riding angle",
    nudge: 0.5,
    mode: "riding",
    where: "Settle the car. Lay the gauge on the arm’s top edge.",
  },
  "body-height": {
    title: "Ride height",
    mode: "height",
    where: "Settle the car. Measure floor (at this tyre) to mark.",
  },
  "hub-to-body": {
    title: "Hub to body",
    mode: "hub",
    where: "Tape from the wheel centre to a mark straight above it.",
  },
  "wheel-load": {
    title: "Wheel load",
    mode: "load",
    where: "Scale under the tyre, the other wheels on blocks of the same height.",
  },
};

export const KINDS = /** @type {What[]} */ (Object.keys(FACTS_OF));
/** @param {string} words */
const capital = (words) => words[0].toUpperCase() + words.slice(1);
/** @param {What} what */
const row = (what) => ({ nudge: 1, where: "", title: capital(FACTS_OF[what].words), ...FACTS_OF[what], ...SAID[what] });
/**
 * Every kind of the model's table with the words above: unit, whether a sign counts, spread; title, where, nudge, mode.
 * @type {Record<What, Kind & Said & { nudge: number }>}
 */
export const READINGS = /** @type {any} */ (Object.fromEntries(KINDS.map((what) => [what, row(what)])));
/** @type {Side[]} */
export const SIDES = ["left", "right"];

/**
 * "Riding angle"; in a droop test it is the arm's angle with everything bolted up.
 * @param {Pick<ReadingBody, "what" | "pose" | "axle">} reading
 */
export const titleOf = ({ what, pose, axle }) =>
  pose?.hanging && what === "riding-angle"
    ? "Arm angle"
    : READINGS[what].title + (axle === "front" ? ", front axle" : "");

/**
 * "Riding angle, left".
 * @param {Pick<ReadingBody, "what" | "side" | "pose" | "axle">} reading
 */
export const nameOf = ({ what, side, pose, axle }) => `${titleOf({ what, pose, axle })}, ${side}`;

/**
 * How to read it, in that pose.
 * @param {Pick<ReadingBody, "what" | "pose">} reading
 */
export const whereOf = ({ what, pose }) =>
  pose?.hanging && what === "riding-angle"
    ? "Body on axle stands, wheels hanging, all bolts in. Gauge on the same edge of the arm."
    : READINGS[what].where;

/**
 * A reading's value against the body, for people: "9.6° arm up", "214 mm".
 * @param {Pick<ReadingBody, "what" | "value" | "datum">} reading
 */
export function valueOf({ what, value, datum }) {
  const { unit, signed } = READINGS[what];
  const places = Number.isInteger(value) ? 0 : 1;
  if (unit === " mm") return length(value, places);
  return signed ? angle(value - (datum ?? 0)) : plain(value, places) + unit;
}

/**
 * How a reading came about, or "": by what gauge, and how long after hand-over.
 * @param {ReadingBody} reading
 */
export function howOf(reading) {
  const km = reading.after_km ?? null;
  const later = km === null ? "" : `${plain(km, 0)} km after hand-over`;
  return [gaugeOf(reading), later].filter(Boolean).join(", ");
}

/**
 * How an angle came about, or "".
 * @param {ReadingBody} reading
 */
function gaugeOf({ what, value, datum, reference }) {
  if (!READINGS[what].signed) return "";
  if (datum !== undefined && datum !== null) return `gauge ${angle(value)}, body ${angle(datum)}`;
  return reference === "gravity" ? "no body reading" : "gauge zeroed on the body";
}

/**
 * A pose in words; "" on its wheels with nothing under or on it.
 * @param {PoseBody | null} [pose]
 * @param {What | ""} [what] the reading, for one that can only be had hanging
 */
export function poseWords(pose, what = "") {
  const parts = [];
  if (pose?.hanging && what !== "hanging-angle") parts.push("wheels hanging");
  for (const side of SIDES) {
    const board = pose?.[`board_${side}_mm`];
    const ballast = pose?.[`ballast_${side}_kg`];
    if (board) parts.push(`board ${length(board)} under the ${side} tyre`);
    if (ballast) parts.push(`${plain(ballast, 0)} kg added on the ${side}`);
  }
  return parts.join(", ");
}

/**
 * "as found" or "after teardown 2".
 * @param {number} [teardown]
 */
export const teardownWords = (teardown) => (teardown ? `after teardown ${teardown}` : "as found");
