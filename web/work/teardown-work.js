/* Ticking a step and taking a tick back. Turning the last end of a side writes the move as well, so that the log says
   what has been turned as soon as it is; taking that tick back takes it out again. */

import { readingsOf, said, strikeOf } from "./sheet.js";
import { moveOf } from "./promise.js";
import { isDone, stepsOf } from "./teardown-steps.js";

const mark = (plan, step, done) => [
  "step",
  { step: step.key, done, teardown: plan.teardown, ...(step.side ? { side: step.side } : {}) },
];

/** The move with a side's teeth added, or null where it has them. Sides not reached yet are not in it. */
function turned(sheet, plan, side) {
  const move = moveOf(sheet, plan.teardown);
  if (move?.[side]) return null;
  const { inner, outer } = plan[side];
  const body = { ...(move ? said(move) : {}), teardown: plan.teardown, plan: plan.id, [side]: { inner, outer } };
  return ["move", move ? { ...body, corrects: move.id } : body];
}

/** The items that take a side out of the move again, with what was read of it since. */
function turnedBack(sheet, plan, side) {
  const move = moveOf(sheet, plan.teardown);
  if (!move?.[side]) return [];
  const { [side]: _, ...rest } = said(move);
  const other = side === "left" ? "right" : "left";
  const out = rest[other] ? ["move", { ...rest, corrects: move.id }] : strikeOf(move);
  const readings = readingsOf(sheet, { what: "hanging-angle", side, teardown: plan.teardown });
  return [...readings.map(strikeOf), out];
}

/** Tick a step; true once it is kept. */
export async function tick(ctx, plan, step) {
  const items = [mark(plan, step, true)];
  const open = (other) =>
    other.side === step.side && other.turn && other.key !== step.key && !isDone(ctx.sheet, plan.teardown, other);
  if (step.turn && !stepsOf(plan).some(open)) {
    const move = turned(ctx.sheet, plan, step.side);
    if (move) items.push(move);
  }
  return ctx.save(items, { said: `“${step.name}” done` });
}

/** Take a tick back; true once that is kept. */
export async function untick(ctx, plan, step) {
  const items = [...(step.turn ? turnedBack(ctx.sheet, plan, step.side) : []), mark(plan, step, false)];
  return ctx.save(items, { said: `“${step.name}” taken back` });
}

/** Strike what was read of a side hanging in this teardown, to read it again. */
export const strikeRead = (ctx, plan, side) =>
  ctx.save(readingsOf(ctx.sheet, { what: "hanging-angle", side, teardown: plan.teardown }).map(strikeOf), {
    said: "the reading struck",
  });
