/* The kinds of reading in words: title, where gauge, tape or scale goes. Poses in words. Unit and spread are the
   model's own (model/facts.js). No screens. */

import { KINDS as FACTS_OF } from "../model/facts.js";
import { plain, angle } from "./numbers.js";
import { length } from "./units.js";

/** @import { Kind } from "../types/facts.d.ts" */
/** @import { ReadingBody, Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

/**
 * @typedef {{ title: string, where: string, nudge?: number, mode?: string, ways?: string[] }} Said A kind of reading in
 *   words; `ways` those of either sign where it is no angle of the arm.
 */

const SETTLE = "Settle the car.";
/** In place of that with the other axle on one block, which nobody bounces. */
const ROCK = "Rock the body gently until it rests.";

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
    where: `${SETTLE} Lay the gauge on the arm’s top edge.`,
  },
  "body-height": {
    title: "Ride height",
    mode: "height",
    where: `${SETTLE} Measure floor (at this tyre) to mark.`,
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
  "arm-difference": {
    title: "Arm difference",
    mode: "arm-difference",
    ways: ["wheel end lower", "wheel end higher"],
    where: "Floor to the arm’s pivot, less floor to the point at its wheel end. Settle the car first.",
  },
  "bump-gap": {
    title: "Gap at the bump rubber",
    mode: "bump-gap",
    where: "Car on its wheels, settled. Rubber to the plate that it meets.",
  },
  "bolt-length": {
    title: "Adjusting bolt length",
    mode: "bolt-length",
    where: "The same two faces each time. Clean them; read to 0.5 mm.",
  },
  "damper-length": {
    title: "Damper length",
    mode: "damper-length",
    where: "Between the middles of its eyes, or of a dummy in its place. Car on its wheels.",
  },
};

const SAID_CENTRED = "other axle on one block amidships";

export const KINDS = /** @type {What[]} */ (Object.keys(FACTS_OF));
/** @param {string} words */
const capital = (words) => words[0].toUpperCase() + words.slice(1);
/** @param {What} what */
const row = (what) => ({
  nudge: 1,
  where: "",
  title: capital(FACTS_OF[what].words),
  ...FACTS_OF[what],
  ...SAID[what],
  // Read with a gauge, arm down or arm up; a length of either sign has words of its own.
  signed: FACTS_OF[what].signed && FACTS_OF[what].unit === "°",
});
/**
 * Every kind of the model's table with the words above: unit, whether a sign counts, spread; title, where, nudge, mode.
 * @type {Record<What, Kind & Said & { nudge: number }>}
 */
export const READINGS = /** @type {any} */ (Object.fromEntries(KINDS.map((what) => [what, row(what)])));
/** @type {Side[]} */
export const SIDES = ["left", "right"];

/**
 * "Riding angle"; in a droop test it is the arm's angle with everything bolted up. "Front height" where an axle is
 * named, so that nobody takes it for one of the rear.
 * @param {Pick<ReadingBody, "what" | "pose" | "axle">} reading
 */
export function titleOf({ what, pose, axle }) {
  if (axle && what === "body-height") return `${capital(axle)} height`;
  const title = pose?.hanging && what === "riding-angle" ? "Arm angle" : READINGS[what].title;
  return title + (axle ? `, ${axle} axle` : "");
}

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
    : READINGS[what].where.replace(SETTLE, pose?.centred ? ROCK : SETTLE);

/**
 * A reading's value against the body, for people: "9.6° arm up", "214 mm".
 * @param {Pick<ReadingBody, "what" | "value" | "datum">} reading
 */
export function valueOf({ what, value, datum }) {
  const { unit, signed } = READINGS[what];
  const places = Number.isInteger(value) ? 0 : 1;
  const { ways } = READINGS[what];
  if (ways) return `${length(Math.abs(value), places)}${value ? ` ${ways[value > 0 ? 0 : 1]}` : ""}`;
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
  if (pose?.centred) parts.push(SAID_CENTRED);
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
 * @param {string} [stage] what it is called, where it may be an adjustment
 */
export const teardownWords = (teardown, stage = `teardown ${teardown}`) => (teardown ? `after ${stage}` : "as found");
