/* What the pictures of steps have in common for each kind of axle: what an arm turns in and about, a corner with its
   arms so far down, the hub without its wheel. */

import * as corner from "./corner.js";
import { circle, path, polar } from "./pen.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Sheet} Sheet */
/** @typedef {import("./pen.js").Point} Point */
/** @typedef {import("./corner.js").Seen} Seen */

/** What an arm turns in: the housing of the bar's end, or of arms across the car the side member.
 * @param {Seen} seen @param {Point} at the pivot @returns {SVGElement} */
export const held = (seen, at) =>
  seen === "across"
    ? s("rect", { class: "housing", x: at.x - 44, y: at.y - 46, width: 74, height: 88, rx: 6 })
    : circle("housing", at, 42);

/** An arm about its pivot, so long; and what it turns about. @param {Seen} seen @param {number} long
 * @param {string} [cls] */
export const armOf = (seen, long, cls = "moving") =>
  seen === "across" ? corner.arm(cls, long, 15, 11) : corner.arm(cls, long, 22, 13);

/** @param {Seen} seen @param {Point} at @param {number} [size] */
export const pivotOf = (seen, at, size) => (seen === "across" ? circle("core", at, 7) : corner.bar(at, size));

/** Body, arms and wheel, the arms so far down. @param {Sheet} sheet @param {Seen} seen
 * @param {Point} bar @param {number} deg @param {string} [pale] */
export function cornerAt(sheet, seen, bar, deg, pale = "") {
  if (seen === "across") {
    const { at, lower } = corner.ACROSS;
    const joint = corner.end(bar, deg, lower);
    sheet.add(
      corner.tread({ x: joint.x + corner.ARM - lower, y: joint.y }),
      corner.wing(bar),
      corner.put(corner.lowerArm(), bar, deg),
      corner.put(corner.upperArm(), { x: bar.x + at.x, y: bar.y + at.y }, deg),
      circle("core", bar, 6),
    );
    return;
  }
  const hub = corner.end(bar, deg);
  sheet.add(
    corner.shell(seen, bar),
    corner.wheel(hub, pale),
    corner.put(corner.arm("moving"), bar, deg),
    corner.bar(bar),
  );
}

/** Hub and brake where the wheel was, with both arms across the car; the middle of it.
 * @param {Sheet} sheet @param {Point} bar */
function hubAcross(sheet, bar) {
  const { at, lower } = corner.ACROSS;
  const joint = corner.end(bar, 6, lower);
  const hub = { x: joint.x + 22, y: joint.y - 6 };
  sheet.add(
    corner.put(corner.upperArm(), { x: bar.x + at.x, y: bar.y + at.y }, 6),
    corner.put(corner.lowerArm(), bar, 6),
    circle("core", bar, 6),
    s("rect", { class: "drum", x: hub.x - 16, y: hub.y - 34, width: 14, height: 68, rx: 3 }),
    path("bars", `M${hub.x + 2} ${hub.y - 14} h8 M${hub.x + 2} ${hub.y + 14} h8`),
  );
  return hub;
}

/** Hub and brake where the wheel was, on an arm along the car. @param {Sheet} sheet @param {Point} bar
 */
function hubAlong(sheet, bar) {
  const hub = corner.end(bar, 6);
  sheet.add(
    corner.put(corner.arm("moving"), bar, 6),
    corner.bar(bar),
    circle("drum", hub, 26),
    [0, 1, 2, 3, 4].map((i) => circle("hole", polar(hub, 17, i * 72 - 90), 3.5)),
  );
  return hub;
}

/** Hub and brake where the wheel was; the middle of it.
 * @param {Sheet} sheet @param {Seen} seen @param {Point} bar */
export const hubAt = (sheet, seen, bar) => (seen === "across" ? hubAcross(sheet, bar) : hubAlong(sheet, bar));
