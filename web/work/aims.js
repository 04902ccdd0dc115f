/* The ways to say a target on the phone, and the entry that each comes to. Pure: numbers in, an entry's body
   out.

   "Raise" and "lower" level the car too unless another way is chosen: most crooked cars are to be level afterwards
   (common practice of the trade, no source). */

import { markOf, formOf } from "./wish.js";

/** @typedef {"raise" | "lower" | "level" | "height" | "angle" | "cross"} Aim */
/** @typedef {"level" | "alike" | "left" | "right"} Sides */
/** @typedef {"higher" | "mean" | "lower"} At */
/** @typedef {{as: Aim, left: number, right: number, sides?: Sides, at?: At}} Asked `left` and `right`: mm or degrees;
 *   of raise, lower the amount is `left`; of a cross-weight `left` is its share, [%], `right` by how much the mean of
 *   both heights rises, [mm] */

/** @type {readonly Aim[]} */
export const AIMS = ["raise", "lower", "level", "height", "angle", "cross"];

/** Whether a word names one of them.
 * @param {unknown} word @returns {word is Aim} */
export const isAim = (word) => AIMS.some((aim) => aim === word);

/** What else a target may say, whatever its form: left out where it is as usual. */
const EXTRAS = [
  "tolerance_mm",
  "lean_mm",
  "tolerance_deg",
  "tolerance_percent",
  "measured",
  "ballast_left_kg",
  "ballast_right_kg",
];
/** Those that go by the form alone. @type {{ [as in Aim]?: string[] }} */
const OF = {
  angle: ["tolerance_deg", "ballast_left_kg", "ballast_right_kg"],
  cross: ["tolerance_percent", "tolerance_mm", "measured", "ballast_left_kg", "ballast_right_kg"],
};
/** Those of heights. */
const OF_HEIGHTS = EXTRAS.filter((name) => !["tolerance_deg", "tolerance_percent"].includes(name));

/**
 * The fields of the form itself.
 * @param {Asked} asked
 * @returns {Record<string, any>}
 */
function formBody({ as, left, right, sides = "level", at = "higher" }) {
  if (as === "height") return { left_mm: left, right_mm: right };
  if (as === "angle") return { as: "hanging-angle", left_deg: left, right_deg: right };
  if (as === "cross") return { as: "cross-weight", cross_percent: left, rise_mm: right };
  if (as === "level") return { as: "level", at, rise_mm: 0 };
  const by = as === "raise" ? left : -left;
  if (sides === "level") return { as: "level", at: as === "raise" ? "higher" : "lower", rise_mm: by };
  return {
    as: "rise",
    left_rise_mm: sides === "right" ? 0 : by,
    right_rise_mm: sides === "left" ? 0 : by,
  };
}

/**
 * The body of the entry that asks for this.
 * @param {Asked} asked
 * @param {Record<string, any>} [extras] of EXTRAS; those of another form are passed over, null is left out
 * @returns {Record<string, any>}
 */
export function targetBody(asked, extras = {}) {
  const body = formBody(asked);
  const names = OF[asked.as] ?? OF_HEIGHTS;
  for (const name of names) if (extras[name] !== undefined && extras[name] !== null) body[name] = extras[name];
  return body;
}

/**
 * How a target on the sheet was asked for, as `targetBody` takes it, or null where there is none.
 * @param {Record<string, any> | null | undefined} target
 * @returns {Asked | null}
 */
export function askedOf(target) {
  if (!target || !Object.keys(target).length) return null;
  const form = formOf(target);
  if (form === "heights")
    return target.left_mm === undefined ? null : { as: "height", left: target.left_mm, right: target.right_mm };
  if (form === "hanging-angle") return { as: "angle", left: target.left_deg, right: target.right_deg };
  if (form === "rise") {
    const [left, right] = [target.left_rise_mm, target.right_rise_mm];
    const by = Math.abs(left) > Math.abs(right) ? left : right;
    const sides = left === right ? "alike" : right === 0 ? "left" : "right";
    return { as: by < 0 ? "lower" : "raise", left: Math.abs(by), right: Math.abs(by), sides };
  }
  if (form === "cross-weight") return { as: "cross", left: target.cross_percent, right: target.rise_mm ?? 0 };
  return form === "level" ? levelOf(target) : null;
}

/** @param {Record<string, any>} target @returns {Asked} */
function levelOf(target) {
  const rise = target.rise_mm ?? 0;
  if (rise === 0) return { as: "level", left: 0, right: 0, at: target.at ?? "higher" };
  return { as: rise < 0 ? "lower" : "raise", left: Math.abs(rise), right: Math.abs(rise), sides: "level" };
}

/** What a target says besides its form.
 * @param {Record<string, any> | null | undefined} target @returns {Record<string, any>} */
export const extrasOf = (target) =>
  Object.fromEntries(EXTRAS.filter((name) => (target?.[name] ?? null) !== null).map((name) => [name, target?.[name]]));

/** Whether heights of this target are read from hub to body.
 * @param {Record<string, any>} target @returns {boolean} */
export const fromHub = (target) => markOf(target) === "hub-to-body";
