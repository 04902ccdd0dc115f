/* Which way a bar's end is turned, as a corner's card has it; turn.js draws the same for the step that turns it. Inner
   end: the anchor stays, bar and arm are one piece. Outer end: the bar's end stays, the arm is turned on it. Up is to
   the tail's end going up on both sides; the words for it are arm up and arm down, never a way of a clock. */

import { arm, put } from "./corner.js";
import { arrow, circle, path, Sheet, teeth } from "./pen.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./pen.js").Point} Point */
/** @typedef {"up" | "down"} Way */

/* More than this is not drawn to scale: the arm would leave the picture. */
const SMALL_MOST = 30;
/* Degrees of the smallest turn that still shows as one. */
const LEAST = 4;

/** A turn as it is drawn. @param {number} deg @param {number} most @returns {number} */
export const shown = (deg, most) => Math.min(most, Math.max(LEAST, Math.abs(deg)));

/** A ring of metal between two circles, hatched where it stays.
 * @param {Sheet} sheet @param {Point} at @param {number} outer @param {number} inner @param {number} gap */
export function ring(sheet, at, outer, inner, gap) {
  const round = (/** @type {number} */ r) =>
    `M${at.x - r} ${at.y} a${r} ${r} 0 1 0 ${2 * r} 0 a${r} ${r} 0 1 0 ${-2 * r} 0 Z`;
  return sheet.hatched("fixed", `${round(outer)} ${round(inner)}`, gap);
}

/** The picture of a corner's card, 140 by 104 units, without words: the arm as found and turned.
 * `end` "arm" is the angle of the arm alone, where teeth were not counted. No arrow where nothing is turned.
 * @param {{side: Side, end: "inner" | "outer" | "arm", way?: Way, deg?: number, label: string}} about
 * @returns {HTMLElement} */
export function endPicture({ side, end, way, deg = 0, label }) {
  const sheet = new Sheet({ wide: 140, high: 104, side, label, cls: "end small" });
  const at = { x: 34, y: 52 };
  const turned = way ? shown(deg, SMALL_MOST) * (way === "up" ? -1 : 1) : 0;
  if (end === "inner") sheet.add(ring(sheet, at, 27, 17, 5), teeth(at, 13, 18, 20));
  else if (end === "arm") sheet.add(circle("around", at, 26));
  if (way) sheet.add(put(arm("ghost", 72, 10, 5.5), at));
  sheet.add(put(arm("moving", 72, end === "outer" ? 18 : 10, 5.5), at, turned));
  if (end === "outer") {
    const core = `M${at.x - 11} ${at.y} a11 11 0 1 0 22 0 a11 11 0 1 0 -22 0 Z`;
    sheet.add(sheet.hatched("fixed", core, 4), teeth(at, 9, 14, 16));
  } else sheet.add(circle("core", at, 5));
  if (way) sheet.add(path("arrow middling", arrow(at, 92, 0, turned, 11)));
  return sheet.done();
}
