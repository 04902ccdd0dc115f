/* The kinds of reading in words: title, where gauge, tape or scale goes. Poses in words. Unit and spread are the model's own
   (model/facts.js). No screens. */

import { KINDS as FACTS_OF } from "../model/facts.js";
import { plain, angle } from "./numbers.js";
import { length } from "./units.js";

const SAID = {
  "hanging-angle": {
    title: "Hanging angle", nudge: 0.5, mode: "hanging",
    where: "Car on stands, cover off, bar relaxed. Lift the free arm lightly to take up play, then read.",
  },
  "riding-angle": {
    title: "Riding angle", nudge: 0.5, mode: "riding",
    where: "Car on its wheels, rolled and bounced. Gauge on the same edge of the arm.",
  },
  "body-height": {
    title: "Body height", mode: "height",
    where: "Roll two car lengths, bounce, then tape from the floor under this tyre to the mark.",
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

/** "Riding angle"; in a hang test it is the arm's angle with everything bolted up. */
export const titleOf = ({ what, pose }) =>
  pose?.hanging && what === "riding-angle" ? "Arm angle" : READINGS[what].title;

/** "Riding angle, left". */
export const nameOf = ({ what, side, pose }) => `${titleOf({ what, pose })}, ${side}`;

/** How to read it, in that pose. */
export const whereOf = ({ what, pose }) =>
  pose?.hanging && what === "riding-angle"
    ? "Body lifted till the wheels hang, all bolted up. Gauge on the same edge of the arm."
    : READINGS[what].where;

/** A reading's value against the body, for people: "9.6° tail up", "214 mm". */
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
  if (datum !== undefined && datum !== null) return `gauge ${angle(value)}, datum ${angle(datum)}`;
  return reference === "gravity" ? "no datum" : "gauge zeroed on the datum";
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
