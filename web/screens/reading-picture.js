/* What the drawing shows while a reading is typed: which tool lies where, and how far the arm or body has moved. */

import { adjusterPlace } from "../parts/adjuster-place.js";
import { angleReading } from "../parts/draw/angle.js";
import { lengthReading } from "../parts/draw/height.js";
import { seenOf } from "../work/adjuster.js";
import { plain } from "../work/numbers.js";
import { ARM } from "../work/questions.js";
import { READINGS, nameOf, poseWords, whereOf } from "../work/readings.js";
import { readingsOf } from "../work/sheet.js";

/** @import { Sheet, Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

/**
 * @typedef {(typed: { value: number | null, size: number | null, body: number, onBody: boolean }) => void} Follow
 *   `value` with its way (null while none is chosen), `size` without; `body` what the gauge reads on the body, `onBody`
 *   while that is being typed
 */

/**
 * A height that a car's body is drawn at, mm, where nobody has read one.
 * @type {{ [what in What]?: number }}
 */
const USUAL = { "body-height": 230, "hub-to-body": 350, "wheel-load": 0 };

/** Kinds whose drawing shows where the tape goes, at the adjuster or the arm. */
const PLACES = ["arm-difference", "bump-gap", "bolt-length", "damper-length"];

/** The car as that axle of it is; the job's own where none is named. @param {Sheet} sheet @param {string} [axle] */
const carOf = ({ car }, axle) => (axle ? { .../** @type {any} */ (car).other, sprung: axle } : car);

/** What is drawn of a length: on a board, with weight, from the hub, on the scale.
 * @param {What} what @param {PoseBody | undefined} pose @param {Side} side */
function lengthKind(what, pose, side) {
  if (what === "hub-to-body") return "hub";
  if (what === "wheel-load") return "load";
  if (pose?.[`board_${side}_mm`]) return "board";
  return pose?.ballast_left_kg || pose?.ballast_right_kg ? "ballast" : "height";
}

/**
 * The drawing of a reading, and how it follows what is typed.
 * @param {{sheet: Sheet, what: What, side: Side, pose: PoseBody | undefined, axle?: "rear" | "front"}} reading
 * @returns {{node: Element, follow: Follow}}
 */
export function pictureOf({ sheet, what, side, axle, pose }) {
  const label = [`${nameOf({ what, side, axle, pose })}: ${whereOf({ what, pose })}`, poseWords(pose, what)]
    .filter(Boolean)
    .join(" ");
  const { signed, mode = "" } = READINGS[what];
  const car = carOf(sheet, axle);
  if (PLACES.includes(mode)) return { node: adjusterPlace({ side, of: mode, car, label }), follow: () => {} };
  if (signed) {
    const stands = what === "hanging-angle" ? "hanging" : pose?.hanging ? "droop" : "riding";
    const view = angleReading({ side, seen: seenOf(car), pose: stands, label });
    /** @type {Follow} */
    const follow = ({ value, body, onBody }) => {
      const deg = onBody || value === null ? null : value - body;
      const figure = deg === null ? "" : `${plain(Math.abs(deg), 1)}°`;
      view.move({ deg, figure, way: deg ? ARM[deg > 0 ? 0 : 1] : "" });
    };
    return { node: view, follow };
  }
  return lengthOf({ sheet, what, side, axle, pose }, label);
}

/** The drawing of a length.
 * @param {{sheet: Sheet, what: What, side: Side, pose: PoseBody | undefined, axle?: string}} reading
 * @param {string} label
 * @returns {{node: Element, follow: Follow}} */
function lengthOf({ sheet, what, side, axle, pose }, label) {
  const kind = lengthKind(what, pose, side);
  const weight =
    kind === "ballast" ? `${plain((pose?.ballast_left_kg ?? 0) + (pose?.ballast_right_kg ?? 0), 0)} kg` : undefined;
  const seen = seenOf(carOf(sheet, axle));
  const view = lengthReading({ side, what: kind, hanging: Boolean(pose?.hanging), seen, weight, label });
  const usual = readingsOf(sheet, { what, side }).at(-1)?.value ?? USUAL[what] ?? 0;
  /** @type {Follow} */
  const follow = ({ size }) => view.move(size === null || what === "wheel-load" ? 0 : size - usual);
  return { node: view, follow };
}
