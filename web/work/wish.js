/* What is wanted, in words, in each of the four forms that a target has. Reads a target; draws and writes nothing. */

import { FACTS, FORMS } from "../model/facts.js";
import { angle, plain } from "./numbers.js";
import { length } from "./units.js";
import { SIDES } from "./readings.js";

/** "heights", "rise", "level" or "hanging-angle". */
export const formOf = (target) => target?.as ?? "heights";

/** The kind of height that a target is of. */
export const markOf = (target) => target?.measured ?? "body-height";

const number = (value) => typeof value === "number";
const or = (target, name) => target[name] ?? FACTS[`target.${name}`].default;
const change = (mm) => (mm === 0 ? "as found" : `${length(Math.abs(mm))} ${mm > 0 ? "up" : "down"}`);
const heights = (target) => SIDES.map((side) => `${side} ${length(target[`${side}_mm`])}`).join(", ");

/** "left 250 mm, right 250 mm", or what the other forms say, with the heights it comes to where they are known; "" for no target. */
export function aimWords(target) {
  const form = formOf(target);
  const known = SIDES.every((side) => number(target[`${side}_mm`]));
  const mark = markOf(target) === "hub-to-body" ? ", hub to body" : "";
  const comes = known ? ` (${heights(target)})` : "";
  if (form === "heights") return known ? heights(target) + mark : "";
  if (form === "hanging-angle") {
    const each = SIDES.map((side) => target[`${side}_deg`]);
    return each.every(number) ? SIDES.map((side, i) => `${side} hanging at ${angle(each[i])}`).join(", ") : "";
  }
  if (form === "rise") {
    const each = SIDES.map((side) => target[`${side}_rise_mm`]);
    return each.every(number) ? SIDES.map((side, i) => `${side} ${change(each[i])}`).join(", ") + mark + comes : "";
  }
  const at = { mean: "the mean of both sides", lower: "the lower side" }[target.at] ?? "the higher side";
  const rise = or(target, "rise_mm");
  return `both as high as ${at} was found${rise ? `, ${plain(Math.abs(rise), 0)} mm ${rise > 0 ? "more" : "less"}` : ""}${mark}${comes}`;
}

/** "within 5 mm; lean within 5 mm", or the degrees of a hanging angle. */
export const withinWords = (target) =>
  formOf(target) === "hanging-angle"
    ? `within ${plain(or(target, "tolerance_deg"), 1)}°`
    : `within ${length(or(target, "tolerance_mm"))}; lean within ${length(or(target, "lean_mm"))}`;

/** The body of an entry that wants these heights of the mark, ballast and spot that a target is of; its tolerances stay as they are. */
export function heightsAs(target, { left_mm, right_mm }) {
  const stay = FORMS.heights.filter(
    (name) => !["left_mm", "right_mm", "tolerance_mm", "lean_mm"].includes(name) && (target[name] ?? null) !== null,
  );
  return { ...Object.fromEntries(stay.map((name) => [name, target[name]])), left_mm, right_mm };
}
