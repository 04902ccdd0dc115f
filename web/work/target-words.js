/* The target as a card of a job says it: one short sentence in each of its forms. Reads a target; draws nothing. */

import { FACTS } from "../model/facts.js";
import { angle, plain } from "./numbers.js";
import { length } from "./units.js";
import { formOf } from "./wish.js";

/** @import { TargetBody } from "../types/wire.d.ts" */

/** @type {Record<string, string>} */
const LEVEL_AT = { higher: "Level, at the higher side", lower: "Level, at the lower side", mean: "Level, at the mean" };

/** @param {unknown} value @returns {value is number} */
const number = (value) => typeof value === "number";

/** @param {number} mm */
const levelWords = (mm) => (mm > 0 ? `Raise by ${length(mm)}, level` : `Lower by ${length(-mm)}, level`);

/** @param {TargetBody} target */
function riseWords({ left_rise_mm: left, right_rise_mm: right }) {
  if (!number(left) || !number(right)) return "";
  const verb = (/** @type {number} */ mm) => (mm > 0 ? "Raise" : "Lower");
  if (left === right && left) return `${verb(left)} both sides by ${length(Math.abs(left))}`;
  if (!right && left) return `${verb(left)} the left side by ${length(Math.abs(left))}`;
  if (!left && right) return `${verb(right)} the right side by ${length(Math.abs(right))}`;
  const one = (/** @type {number} */ mm) => `${length(Math.abs(mm))} ${mm < 0 ? "lower" : "higher"}`;
  return left ? `Left ${one(left)}, right ${one(right)}` : "Heights as found";
}

/** @param {TargetBody} target */
function angleWords({ left_deg: left, right_deg: right }) {
  return number(left) && number(right) ? `Hanging angle left ${angle(left)}, right ${angle(right)}` : "";
}

/**
 * "Level at 250 mm", "Raise by 40 mm, level", "Left 250 mm, right 255 mm"; "" where no target was chosen.
 * @param {TargetBody | null | undefined} target
 * @returns {string}
 */
export function targetWords(target) {
  if (!target || !Object.keys(target).length) return "";
  const form = formOf(target);
  if (form === "rise") return riseWords(target);
  if (form === "level") {
    const mm = target.rise_mm ?? Number(FACTS["target.rise_mm"].default);
    return mm ? levelWords(mm) : LEVEL_AT[target.at ?? "higher"];
  }
  if (form === "hanging-angle") return angleWords(target);
  if (form === "cross-weight") return `Cross-weight ${plain(target.cross_percent ?? 0, 1)} %`;
  const { left_mm: left, right_mm: right } = target;
  if (!number(left) || !number(right)) return "";
  return left === right ? `Level at ${length(left)}` : `Left ${length(left)}, right ${length(right)}`;
}
