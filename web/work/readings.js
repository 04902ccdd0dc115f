/* The kinds of reading in words: title, where gauge, tape or scale goes. Poses in words. Unit and spread are the model's own
   (model/facts.js). No screens. */

import { KINDS as FACTS_OF } from "../model/facts.js";
import { plain, angle } from "./numbers.js";
import { length } from "./units.js";

const SAID = {
  "hanging-angle": {
    title: "Hanging angle", nudge: 0.5, mode: "hanging",
    where: "Axle stands, bar unloaded. Lift the arm to take up play, then read.",
  },
  "riding-angle": {
    title: "Riding angle", nudge: 0.5, mode: "riding",
    where: "Settle the car. Lay the gauge on the arm’s top edge.",
  },
  "body-height": {
    title: "Ride height", mode: "height",
    where: "Settle the car. Measure floor (at this tyre) to mark.",
  },
  "hub-to-body": {
    title: "Hub to body", mode: "hub",
    where: "Tape from the wheel centre to a mark straight above it.",
  },
  "wheel-load": {
    title: "Wheel load", mode: "load",
    where: "Scale under the tyre, the other wheels on blocks of the same height.",
  },
}; // prettier-ignore

export const KINDS = Object.keys(FACTS_OF);
const capital = (words) => words[0].toUpperCase() + words.slice(1);
/** Every kind of the model's table with the words above: unit, whether a sign counts, spread; title, where, nudge, mode. */
export const READINGS = Object.fromEntries(
  KINDS.map((what) => [
    what,
    { nudge: 1, where: "", title: capital(FACTS_OF[what].words), ...FACTS_OF[what], ...SAID[what] },
  ]),
);
export const SIDES = ["left", "right"];

/** "Riding angle"; in a droop test it is the arm's angle with everything bolted up. */
export const titleOf = ({ what, pose }) =>
  pose?.hanging && what === "riding-angle" ? "Arm angle" : READINGS[what].title;

/** "Riding angle, left". */
export const nameOf = ({ what, side, pose }) => `${titleOf({ what, pose })}, ${side}`;

/** How to read it, in that pose. */
export const whereOf = ({ what, pose }) =>
  pose?.hanging && what === "riding-angle"
    ? "Body on axle stands, wheels hanging, all bolts in. Gauge on the same edge of the arm."
    : READINGS[what].where;

/** A reading's value against the body, for people: "9.6° arm up", "214 mm". */
export function valueOf({ what, value, datum }) {
  const { unit, signed } = READINGS[what];
  const places = Number.isInteger(value) ? 0 : 1;
  if (unit === " mm") return length(value, places);
  return signed ? angle(value - (datum ?? 0)) : plain(value, places) + unit;
}

/** How a reading came about, or "": by what gauge, and how long after hand-over. */
export function howOf(reading) {
  const later = reading.after_km == null ? "" : `${plain(reading.after_km, 0)} km after hand-over`;
  return [gaugeOf(reading), later].filter(Boolean).join(", ");
}

/** How an angle came about, or "". */
function gaugeOf({ what, value, datum, reference }) {
  if (!READINGS[what].signed) return "";
  if (datum !== undefined && datum !== null) return `gauge ${angle(value)}, body ${angle(datum)}`;
  return reference === "gravity" ? "no body reading" : "gauge zeroed on the body";
}

/** A pose in words; "" on its wheels with nothing under or on it. */
export function poseWords(pose = {}, what = "") {
  const parts = [];
  if (pose.hanging && what !== "hanging-angle") parts.push("wheels hanging");
  for (const side of SIDES) {
    const board = pose[`board_${side}_mm`];
    const ballast = pose[`ballast_${side}_kg`];
    if (board) parts.push(`board ${plain(board, 0)} mm under the ${side} tyre`);
    if (ballast) parts.push(`${plain(ballast, 0)} kg added on the ${side}`);
  }
  return parts.join(", ");
}

/** "as found" or "after teardown 2". */
export const teardownWords = (teardown) => (teardown ? `after teardown ${teardown}` : "as found");
