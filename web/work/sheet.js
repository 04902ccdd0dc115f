/* Finding things on a job's sheet. The sheet itself comes from the Python fold (fold.js); nothing is worked out here. */

import { FACTS } from "../model/facts.js";

const SIDES = ["left", "right"];

/** The value at a path of names inside an object, or undefined. */
export const at = (object, path) => path.reduce((inner, name) => inner?.[name], object);

/** An object holding one value at a path: the body of a `car` or `target` entry. */
export const body = (path, value) => path.reduceRight((inner, name) => ({ [name]: inner }), value);

const ABOUT = ["id", "at", "device", "root", "corrected", "unsettled", "also", "corrects", "kind", "by"];

/** What a row of the sheet says, without where it comes from: the body to write when it is changed. */
export const said = (row) =>
  Object.fromEntries(
    Object.entries(row).filter(([name, value]) => !ABOUT.includes(name) && value !== null && value !== undefined),
  );

/** The item that strikes a row out; it says what stood there, so that a correction made elsewhere meanwhile is not struck unseen. */
export const strikeOf = ({ id, root, corrected = [] }) => [
  "strike",
  { entry: root, saw: [id, ...corrected].slice(0, 100) },
];

/** A pose as one word, so that readings of the same pose can be found. */
export function poseKey(pose) {
  const parts = [pose?.hanging ? "hanging" : ""];
  for (const what of ["board", "ballast"]) {
    for (const side of ["left", "right"]) parts.push(pose?.[`${what}_${side}_${what === "board" ? "mm" : "kg"}`] || 0);
  }
  return parts.join("/");
}

/** Readings of one kind (side, pose, teardown optional). */
export function readingsOf(sheet, { what, side, pose, teardown }) {
  return sheet.readings.filter(
    (r) =>
      r.what === what &&
      (side === undefined || r.side === side) &&
      (pose === undefined || poseKey(r.pose) === poseKey(pose)) &&
      (teardown === undefined || (r.teardown ?? 0) === teardown),
  );
}

/** A target with the model's own tolerances where it names none. */
export function tolerant(target) {
  const out = { ...target };
  for (const name of ["tolerance_mm", "lean_mm"]) out[name] ??= FACTS[`target.${name}`].default;
  return out;
}

/** Whether a plan, or an option, was made before the teeth were counted: a turn is said, and no tooth, which is not none. */
export const inDegrees = (plan) =>
  !SIDES.some((side) => plan[side]?.inner != null || plan[side]?.outer != null) &&
  SIDES.some((side) => plan[side]?.turn_deg != null);
