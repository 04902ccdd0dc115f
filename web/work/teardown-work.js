/* Ticking a step and taking a tick back. Turning the last end of a side writes the move as well, so that the log says
   what has been turned as soon as it is; taking that tick back takes it out again. The last look writes the plan. */

import { alreadyPromised, moveOf } from "./promise.js";
import { said, strikeOf } from "./sheet.js";
import { foundOf, isDone, SIDES, stepsOf } from "./teardown-steps.js";
import { readIn } from "./teardown-verdict.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Item } from "../types/log.d.ts" */
/** @import { Plan, PlanRow, ReadingRow, Sheet } from "../types/sheet.d.ts" */

/** @typedef {import("./adjust-steps.js").Adjust} Adjust */
/** @typedef {import("./teardown-steps.js").Step} Step */
/** @typedef {import("./teardown-order.js").Side} Side */

/** @param {PlanRow} plan @param {Step} step @param {boolean} done @returns {Item} */
const mark = (plan, step, done) => [
  "step",
  { step: step.key, done, teardown: plan.teardown, ...(step.side ? { side: step.side } : {}) },
];

/** The move with a side's teeth added, or null where it has them. Sides not reached yet are not in it.
 * @param {Sheet} sheet @param {PlanRow} plan @param {Side} side @returns {Item | null} */
function turned(sheet, plan, side) {
  const move = moveOf(sheet, plan.teardown);
  if (move?.[side]) return null;
  const { inner = 0, outer = 0 } = plan[side];
  // Its adjuster comes after the teeth, by a step of its own.
  const body = { ...(move ? said(move) : {}), teardown: plan.teardown, plan: plan.id, [side]: { inner, outer } };
  return ["move", move ? { ...body, corrects: move.id } : body];
}

/** The move with the turns of a step's adjuster added; teeth that were turned stay in it.
 * @param {Sheet} sheet @param {PlanRow} plan @param {Adjust} adjust @param {number} turns @returns {Item} */
export function adjusted(sheet, plan, { sides }, turns) {
  const move = moveOf(sheet, plan.teardown);
  const wheels = sides.map((side) => {
    const { inner = 0, outer = 0 } = move?.[side] ?? {};
    return [side, { inner, outer, turns }];
  });
  const body = { ...(move ? said(move) : {}), teardown: plan.teardown, plan: plan.id, ...Object.fromEntries(wheels) };
  return ["move", move ? { ...body, corrects: move.id } : body];
}

/** The items that take an adjuster's turns out of the move again.
 * @param {Sheet} sheet @param {PlanRow} plan @param {Adjust} adjust @returns {Item[]} */
function adjustedBack(sheet, plan, { sides }) {
  const move = moveOf(sheet, plan.teardown);
  if (!move || !sides.some((side) => move[side]?.turns)) return [];
  const body = said(move);
  for (const side of sides) {
    const { turns: _, ...rest } = move[side] ?? {};
    if (rest.inner || rest.outer) body[side] = rest;
    else delete body[side];
  }
  return SIDES.some((side) => body[side]) ? [["move", { ...body, corrects: move.id }]] : [strikeOf(move)];
}

/** The items that take a side out of the move again, with what was read of it since.
 * @param {Sheet} sheet @param {PlanRow} plan @param {Side} side @returns {Item[]} */
function turnedBack(sheet, plan, side) {
  const move = moveOf(sheet, plan.teardown);
  if (!move?.[side]) return [];
  const { [side]: _, ...rest } = said(move);
  const other = side === "left" ? "right" : "left";
  const out = /** @type {Item} */ (rest[other] ? ["move", { ...rest, corrects: move.id }] : strikeOf(move));
  return [...strikesOf(readIn(sheet, plan, side)), out];
}

const strikesOf = (/** @type {ReadingRow[]} */ readings) => readings.map(strikeOf);

/**
 * Tick a step; true once it is kept.
 * @param {JobContext} ctx
 * @param {PlanRow} plan
 * @param {Step} step
 * @returns {Promise<boolean>}
 */
export async function tick(ctx, plan, step) {
  const items = [mark(plan, step, true)];
  const open = (/** @type {Step} */ other) =>
    other.side === step.side && other.turn && other.key !== step.key && !isDone(ctx.sheet, plan, other);
  if (step.turn && !stepsOf(plan, ctx.sheet).some(open)) {
    const move = turned(ctx.sheet, plan, /** @type {Side} */ (step.side));
    if (move) items.push(move);
  }
  const { adjust } = step;
  if (adjust) items.push(adjusted(ctx.sheet, plan, adjust, adjust.turns));
  return ctx.save(items, { said: `“${step.name}” done` });
}

/**
 * Tick the step of an adjuster with all that the plan turns, where the step asks for a part of it first; true once it
 * is kept.
 * @param {JobContext} ctx
 * @param {PlanRow} plan
 * @param {Step} step
 * @returns {Promise<boolean>}
 */
export async function adjustAll(ctx, plan, step) {
  const { adjust } = step;
  if (!adjust) return false;
  const items = [mark(plan, step, true), adjusted(ctx.sheet, plan, adjust, adjust.planned)];
  return ctx.save(items, { said: `“${step.name}” done` });
}

/**
 * Take a tick back; true once that is kept.
 * @param {JobContext} ctx
 * @param {PlanRow} plan
 * @param {Step} step
 * @returns {Promise<boolean>}
 */
export async function untick(ctx, plan, step) {
  const back = step.adjust
    ? adjustedBack(ctx.sheet, plan, step.adjust)
    : step.turn
      ? turnedBack(ctx.sheet, plan, /** @type {Side} */ (step.side))
      : [];
  return ctx.save([...back, mark(plan, step, false)], { said: `“${step.name}” taken back` });
}

/**
 * Go by the plan that the last look came to: it is written, then its step is ticked; true once both are kept. Where
 * one side is turned and this plan turns no tooth of the other, the move names it from now on: it is the one that is
 * judged.
 * @param {JobContext} ctx
 * @param {PlanRow} plan
 * @param {Step} step
 * @param {Plan} body of the plan entry
 * @returns {Promise<boolean>}
 */
export async function lookTaken(ctx, plan, step, body) {
  if (!alreadyPromised(plan, body) && !(await ctx.save([["plan", body]], { said: "the plan" }))) return false;
  const move = moveOf(ctx.sheet, plan.teardown);
  const now = (ctx.sheet.plans ?? []).findLast((row) => row.teardown === plan.teardown) ?? plan;
  const side = /** @type {Side} */ (step.side);
  const repoint = move && !move[side] && move.plan !== now.id && !(now[side].inner || now[side].outer);
  const items = [mark(now, step, true)];
  if (repoint) items.push(["move", { ...said(move), plan: now.id, corrects: move.id }]);
  return ctx.save(items, { said: `“${step.name}” done` });
}

/**
 * Strike what was read of a side hanging in this teardown, to read it again: after its teeth were turned, or as
 * found.
 * @param {JobContext} ctx
 * @param {PlanRow} plan
 * @param {Side} side
 * @param {{found?: boolean}} [which]
 * @returns {Promise<boolean>}
 */
export const strikeRead = (ctx, plan, side, { found = false } = {}) =>
  ctx.save(strikesOf(found ? foundOf(ctx.sheet, plan.teardown, side) : readIn(ctx.sheet, plan, side)), {
    said: "the reading removed",
  });
