/* A job's car from behind as read: found dashed, read solid, target hatched (draw/rear.js), figures in the unit
   chosen. */

import { rearView } from "./draw/rear.js";
import { tolerant } from "../work/sheet.js";
import { brief, inches, toMm } from "../work/units.js";
import { gateWords, heightsOf } from "../work/verdict.js";

/** @import { Sides, Stage } from "../types/sheet.d.ts" */

const SIXTEENTHS = 16;
const figure = (/** @type {number | null} */ mm) => (mm === null ? undefined : brief(mm).replace(/\s(mm|in)$/, ""));
const figures = (/** @type {Sides<number | null>} */ { left, right }) => ({ left: figure(left), right: figure(right) });
const said = (/** @type {Sides<number | null>} */ { left, right }) =>
  [left === null ? "" : `left ${brief(left)}`, right === null ? "" : `right ${brief(right)}`]
    .filter(Boolean)
    .join(", ");

/** What is heard of it. */
function labelOf(
  /** @type {Sides<number | null>} */ now,
  /** @type {string} */ was,
  /** @type {string} */ gate,
  front = false,
) {
  const parts = [said(now) ? `read ${said(now)}` : "not read yet", was, gate ? `target ${gate}` : ""];
  return `${front ? "Front axle, left on the left" : "From behind"}: ${parts.filter(Boolean).join("; ")}`;
}

/**
 * Heights read, those before them, and the target, from behind; null where no height is known.
 * @param {{found: Sides<number | null> | null, now: Sides<number | null>, target: any, was?: string, gate?: string,
 *   body?: boolean, front?: boolean}} what `target` with left_mm, right_mm and tolerance_mm; `was` what `found` is
 *   called; `gate` the target in words; `body` whether the car's body is drawn on its line; `front` whether it is the
 *   front axle
 * @returns {HTMLElement | null}
 */
export function rearOf({
  found: was,
  now,
  target: asked,
  was: called = "as found",
  gate = "",
  body = false,
  front = false,
}) {
  if (![was?.left, was?.right, now.left, now.right].some((mm) => typeof mm === "number")) return null;
  const target = /** @type {any} */ (tolerant(asked ?? {}));
  const gates = [target.left_mm, target.right_mm].some((mm) => typeof mm === "number")
    ? { left: target.left_mm, right: target.right_mm, tolerance: target.tolerance_mm }
    : undefined;
  return rearView({
    found: was ?? undefined,
    now,
    target: gates,
    foundFigures: was ? figures(was) : undefined,
    nowFigures: figures(now),
    tick: inches() ? toMm(1 / SIXTEENTHS) : 1,
    body,
    front,
    label: labelOf(now, was && said(was) ? `${called} ${said(was)}` : "", gate, front),
  });
}

/**
 * The drawing, or null where no height was read.
 * @param {{found: Stage | null | undefined, stage: Stage, was?: string, body?: boolean, front?: boolean}} what `found`
 *   is left out of it where it is the stage itself; `was` what it is called
 * @returns {HTMLElement | null}
 */
export function rearHeights({ found, stage, was, body, front }) {
  const before = found && found !== stage ? heightsOf({ ...found, target: stage.target }) : null;
  return rearOf({
    found: before,
    now: heightsOf(stage),
    target: stage.target,
    was,
    gate: gateWords(stage.target),
    body,
    front,
  });
}
