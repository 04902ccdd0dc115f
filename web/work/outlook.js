/* What an option is expected to bring, as heights or, where a mark was never read, as the change from how the car
   stands; held against the target. Reads an answer's option; draws nothing. */

import { stageOf } from "./sheet.js";
import { correlationOf } from "./twenty.js";
import { formOf, markOf } from "./wish.js";

/** @import { Any, Stage } from "../types/sheet.d.ts" */
/** @import { Option, SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {SolveAnswer["target"]} Aimed A target as the answer has it. */
/** @typedef {import("./plan-figures.js").Estimate} Estimate */
/** @typedef {{left: Estimate, right: Estimate}} Both */
/** @typedef {{left: number | null, right: number | null}} Pair */
/** What is expected: `by` height or change; `aim` the middle of the target in the same figures, or null.
 * @typedef {{by: "height" | "rise", left: Estimate, right: Estimate,
 *   aim: {left: number, right: number} | null}} Expected */

/** @type {readonly ("left" | "right")[]} */
const SIDES = ["left", "right"];

/** A figure of each side, or null where one is lacking.
 * @param {Any<Aimed>} target @param {"mm" | "rise_mm"} what @returns {{left: number, right: number} | null} */
function bothOf(target, what) {
  const [left, right] = SIDES.map((side) => target[`${side}_${what}`] ?? null);
  return left === null || right === null ? null : { left, right };
}

/**
 * What an option is expected to bring.
 * @param {Option} option of an answer
 * @param {Aimed} target as the answer has it
 * @returns {Expected}
 */
export function expectedOf(option, target) {
  const name = markOf(target) === "hub-to-body" ? "hub_to_body_mm" : "body_height_mm";
  const angles = formOf(target) === "hanging-angle";
  if (SIDES.every((side) => option[side][name])) {
    const aim = angles ? null : bothOf(target, "mm");
    const [left, right] = SIDES.map((side) => /** @type {Estimate} */ (option[side][name]));
    return { by: "height", left, right, aim };
  }
  const aim = formOf(target) === "rise" ? bothOf(target, "rise_mm") : null;
  return { by: "rise", left: option.left.rise_mm, right: option.right.rise_mm, aim };
}

/**
 * The outlook that work/twenty.js draws cars for; null where the target is no height.
 * @param {Option} option
 * @param {Aimed} target
 * @returns {import("./twenty.js").Outlook | null}
 */
export function outlookOf(option, target) {
  const { left, right, aim } = expectedOf(option, target);
  if (!aim || target.as === "hanging-angle" || target.as === "cross-weight") return null;
  return {
    chance: 100 * option.odds,
    mean: { left: left.value - aim.left, right: right.value - aim.right },
    sd: { left: left.sd, right: right.sd },
    correlation: correlationOf(left.sd, right.sd, option.lean_mm.sd),
    tolerance: target.tolerance_mm,
    lean: target.lean_mm,
  };
}

/**
 * The heights that were read of the car as it stands now: a height that nobody read is null, never a predicted one.
 * @param {Stage[]} stages as folded
 * @param {number} teardowns
 * @returns {Pair}
 */
export function readNow(stages, teardowns) {
  const stage = stageOf(stages ?? [], teardowns);
  return { left: stage?.reached?.left_mm ?? null, right: stage?.reached?.right_mm ?? null };
}
