/* What is wanted, in words, in each of the forms that a target has. Reads a target; draws and writes nothing. */

import { FACTS, FORMS } from "../model/facts.js";
import { angle, plain } from "./numbers.js";
import { length } from "./units.js";
import { SIDES } from "./readings.js";

/** @import { Form } from "../types/facts.d.ts" */
/** @import { TargetBody } from "../types/wire.d.ts" */

/**
 * The form of a target.
 * @param {TargetBody | null} [target]
 * @returns {Form}
 */
export const formOf = (target) => target?.as ?? "heights";

/**
 * The kind of height that a target is of.
 * @param {TargetBody | null} [target]
 */
export const markOf = (target) => target?.measured ?? "body-height";

/**
 * @param {unknown} value
 * @returns {value is number}
 */
const number = (value) => typeof value === "number";
/**
 * @param {TargetBody} target
 * @param {"rise_mm" | "tolerance_mm" | "lean_mm" | "tolerance_deg" | "tolerance_percent"} name
 */
const or = (target, name) => target[name] ?? /** @type {number} */ (FACTS[`target.${name}`].default);
/** @param {number} mm */
const change = (mm) => (mm === 0 ? "as found" : `${length(Math.abs(mm))} ${mm > 0 ? "up" : "down"}`);
/**
 * A figure of both sides, or null where one is lacking.
 * @param {TargetBody} target
 * @param {"mm" | "deg" | "rise_mm"} what
 */
function both(target, what) {
  const [left, right] = [target[`left_${what}`], target[`right_${what}`]];
  return number(left) && number(right) ? [left, right] : null;
}

/**
 * Both sides in words.
 * @param {number[]} each
 * @param {(value: number) => string} words
 */
const sides = (each, words) => SIDES.map((side, i) => `${side} ${words(each[i])}`).join(", ");

/**
 * "left 250 mm, right 250 mm", or what the other forms say, with the heights it comes to where they are known; "" for
 * no target.
 * @param {TargetBody} target
 */
export function aimWords(target) {
  const form = formOf(target);
  const known = both(target, "mm");
  const heights = known ? sides(known, length) : "";
  const mark = markOf(target) === "hub-to-body" ? ", hub to body" : "";
  const comes = known ? ` (${heights})` : "";
  if (form === "heights") return known ? heights + mark : "";
  if (form === "hanging-angle") {
    const each = both(target, "deg");
    return each ? sides(each, (deg) => `hanging at ${angle(deg)}`) : "";
  }
  if (form === "rise") {
    const each = both(target, "rise_mm");
    return each ? sides(each, change) + mark + comes : "";
  }
  if (form === "cross-weight") {
    const share = plain(target.cross_percent ?? 0, 1);
    return `cross-weight ${share} % (RF + LR), mean height ${change(or(target, "rise_mm"))}${mark}`;
  }
  const at = { mean: "the mean of both sides", lower: "the lower side", higher: "the higher side" }[
    target.at ?? "higher"
  ];
  const rise = or(target, "rise_mm");
  const more = rise ? `, ${length(Math.abs(rise))} ${rise > 0 ? "more" : "less"}` : "";
  return `both as high as ${at} was found${more}${mark}${comes}`;
}

/**
 * "within 5 mm; lean within 5 mm", or the degrees of a hanging angle, the per cent of a cross-weight.
 * @param {TargetBody} target
 */
export const withinWords = (target) => {
  const form = formOf(target);
  if (form === "hanging-angle") return `within ${plain(or(target, "tolerance_deg"), 1)}°`;
  const height = length(or(target, "tolerance_mm"));
  return form === "cross-weight"
    ? `within ${plain(or(target, "tolerance_percent"), 1)} %; mean height within ${height}`
    : `within ${height}; lean within ${length(or(target, "lean_mm"))}`;
};

/**
 * The body of an entry that wants these heights of the mark, ballast and spot that a target is of; its tolerances stay
 * as they are.
 * @param {TargetBody} target
 * @param {{ left_mm: number, right_mm: number }} heights
 * @returns {TargetBody}
 */
export function heightsAs(target, { left_mm, right_mm }) {
  const stay = /** @type {(keyof TargetBody)[]} */ (FORMS.heights).filter(
    (name) => !["left_mm", "right_mm", "tolerance_mm", "lean_mm"].includes(name) && (target[name] ?? null) !== null,
  );
  return { ...Object.fromEntries(stay.map((name) => [name, target[name]])), left_mm, right_mm };
}
