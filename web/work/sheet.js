/* Finding things on a job's sheet. The sheet itself comes from the Python fold (fold.js); nothing is worked out
   here. */

import { FACTS } from "../model/facts.js";
import { adjustsAlone, sprungOf } from "./adjuster.js";

/** @import { Body, Item } from "../types/log.d.ts" */
/** @import { Chained, ReadingRow, Sheet, Side, Stage, What } from "../types/sheet.d.ts" */
/** @import { PoseBody, TargetBody } from "../types/wire.d.ts" */

/**
 * @typedef {{ inner?: number | null, outer?: number | null, turn_deg?: number | null, turns?: number | null }} Turned
 *   What a side is turned by.
 */

/** @type {Side[]} */
const SIDES = ["left", "right"];

/**
 * The value at a path of names inside an object, or undefined.
 * @param {any} object
 * @param {string[]} path
 */
export const at = (object, path) => path.reduce((inner, name) => inner?.[name], object);

/**
 * An object holding one value at a path: the body of a `car` or `target` entry.
 * @param {string[]} path
 * @param {unknown} value
 * @returns {Body}
 */
export const body = (path, value) =>
  /** @type {Body} */ (path.reduceRight((inner, name) => ({ [name]: inner }), value));

const ABOUT = ["id", "at", "device", "root", "corrected", "unsettled", "also", "corrects", "kind", "by", "writer"];

/**
 * What a row of the sheet says, without where it comes from: the body to write when it is changed.
 * @param {object} row
 * @returns {Body}
 */
export const said = (row) =>
  Object.fromEntries(
    Object.entries(row).filter(([name, value]) => !ABOUT.includes(name) && value !== null && value !== undefined),
  );

/**
 * The item that strikes a row out; it says what stood there, so that a correction made elsewhere meanwhile is not
 * struck unseen.
 * @param {Pick<Chained, "id" | "root"> & { corrected?: string[] }} row
 * @returns {Item}
 */
export const strikeOf = ({ id, root, corrected = [] }) => [
  "strike",
  { entry: root, saw: [id, ...corrected].slice(0, 100) },
];

/**
 * A pose as one word, so that readings of the same pose can be found.
 * @param {PoseBody | null} [pose]
 */
export function poseKey(pose) {
  const boards = SIDES.map((side) => pose?.[`board_${side}_mm`] || 0);
  const ballast = SIDES.map((side) => pose?.[`ballast_${side}_kg`] || 0);
  return [pose?.hanging ? "hanging" : "", pose?.centred ? "centred" : "", ...boards, ...ballast].join("/");
}

/**
 * Whether the car stands on all its wheels and no board, whatever lies in it.
 * @param {PoseBody | null} [pose]
 */
export const stands = (pose) => !pose?.hanging && !pose?.centred && !SIDES.some((side) => pose?.[`board_${side}_mm`]);

/**
 * Readings of one kind, of the job's own axle unless another is named.
 * @param {Pick<Sheet, "readings"> & { car?: Sheet["car"] }} sheet
 * @param {{ what: What, side?: Side, pose?: PoseBody, teardown?: number, axle?: "rear" | "front" }} which
 * @returns {ReadingRow[]}
 */
export function readingsOf(sheet, { what, side, pose, teardown, axle }) {
  const own = sprungOf(sheet.car);
  return sheet.readings.filter(
    (r) =>
      r.what === what &&
      (r.axle ?? own) === (axle ?? own) &&
      (side === undefined || r.side === side) &&
      (pose === undefined || poseKey(r.pose) === poseKey(pose)) &&
      (teardown === undefined || (r.teardown ?? 0) === teardown),
  );
}

/**
 * The first side of an axle whose height, as the car stands empty, was not read since that teardown.
 * @param {ReadingRow[]} readings of that axle
 * @param {number} teardown
 */
export const unreadSide = (readings, teardown) =>
  SIDES.find(
    (side) =>
      !readings.some(
        (r) =>
          r.what === "body-height" &&
          r.side === side &&
          (r.teardown ?? 0) === teardown &&
          poseKey(r.pose) === poseKey(),
      ),
  );

/**
 * A target with the model's own tolerances where it names none.
 * @template {TargetBody} T
 * @param {T} target
 * @returns {T & { tolerance_mm: number, lean_mm: number }}
 */
export function tolerant(target) {
  const or = (/** @type {"tolerance_mm" | "lean_mm"} */ name) =>
    target[name] ?? /** @type {number} */ (FACTS[`target.${name}`].default);
  return { ...target, tolerance_mm: or("tolerance_mm"), lean_mm: or("lean_mm") };
}

/** @param {unknown} value */
const given = (value) => value !== null && value !== undefined;

/**
 * Whether a plan, or an option, was made before the teeth were counted: a turn is said, and no tooth, which is not
 * none. One that turns adjusters alone needs no tooth counted.
 * @param {{ left?: Turned | null, right?: Turned | null }} plan
 */
export const inDegrees = (plan) =>
  !adjustsAlone(plan) &&
  !SIDES.some((side) => given(plan[side]?.inner) || given(plan[side]?.outer)) &&
  SIDES.some((side) => given(plan[side]?.turn_deg));

/** The stage of a teardown on hand-over day.
 * @param {Stage[]} stages
 * @param {number} teardown
 */
export const stageOf = (stages, teardown) =>
  stages.find((each) => each.teardown === teardown && (each.after_km ?? null) === null) ?? null;

/** The last stage of hand-over day, or null.
 * @param {Stage[]} stages
 */
export const lastOfDay = (stages) => stages.findLast((each) => (each.after_km ?? null) === null) ?? null;
