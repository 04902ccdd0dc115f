/* What an entry that is not written yet would change: the job folded with it, and the plan that follows. Nothing is
   kept. */

import { inHundred, turns } from "../numbers.js";
import { length, lengthSpread } from "../units.js";
import { needs } from "../guide.js";
import { counted } from "../plural.js";
import { nameOf, SIDES } from "../readings.js";

/** @import { Entry, Item } from "../../types/log.d.ts" */
/** @import { Folded, Sheet } from "../../types/sheet.d.ts" */
/** @import { Context } from "../../types/context.d.ts" */

/**
 * What is not there that a plan needs: "body height, left, has not been read".
 * @param {Sheet} sheet
 */
export function lackWords(sheet) {
  const [first] = needs(sheet);
  return first.step
    ? `${nameOf(first.step).toLowerCase()}, has not been read`
    : `${first.title.toLowerCase()} has not been entered`;
}

/**
 * The job as it would be.
 * @param {Pick<Context, "log" | "model">} ctx
 * @param {string} job
 * @param {Entry[]} entries
 * @param {Item[]} items
 */
export async function folded(ctx, job, entries, items) {
  const after = entries.reduce((greatest, { id }) => (id > greatest ? id : greatest), "");
  const more = items.map(([kind, body]) => ({
    schema: ctx.log.schemaOf(kind, body),
    id: ctx.log.newId({ after: after || null }),
    job,
    device: "to be chosen",
    at: ctx.log.stamp(),
    kind,
    body,
  }));
  const [found] = await ctx.model.sheets([{ job, entries: [...entries, ...more] }]);
  return found;
}

/**
 * Sentences about the heights that were read, with that entry.
 * @param {Pick<Folded, "stages">} job
 * @param {number} teardown
 */
export function readWords({ stages }, teardown) {
  const stage = stages.find((each) => each.teardown === teardown) ?? stages.findLast(({ after_km: km }) => km === null);
  if (!stage) return [];
  const { left_mm: left, right_mm: right, lean_mm: lean } = stage.reached;
  const heights = [left === null ? "" : `left ${length(left)}`, right === null ? "" : `right ${length(right)}`]
    .filter(Boolean)
    .join(", ");
  const as = stage.teardown ? `after teardown ${stage.teardown}` : "as found";
  if (!heights) return [`No heights ${as}.`];
  const leaning = lean === null ? "" : `; lean ${length(lean)}`;
  const met = stage.hit === null ? "" : stage.hit ? ", on target" : ", off target";
  return [`Heights ${as}: ${heights}${leaning}${met}.`];
}

/**
 * Sentences about where the car then stands and the plan that follows; says why where no plan can be made.
 * @param {Pick<Context, "model">} ctx
 * @param {Pick<Folded, "sheet" | "request">} job
 */
export async function planWords(ctx, { sheet, request }) {
  const [stop] = request.stops;
  if (stop) return [`No plan with it: ${stop.text}.`];
  if (needs(sheet).length) return [`No plan with it: ${lackWords(sheet)}.`];
  try {
    const { answer } = await ctx.model.askForPlan(request.request);
    const [best] = answer.options;
    const now = SIDES.map((side) => {
      const height = answer.now[side].body_height_mm;
      return `${side} ${height ? lengthSpread(height) : "not read"}`;
    }).join(", ");
    const work = best.ends_disturbed ? SIDES.map((side) => `${side} ${turns(best[side])}`).join("; ") : "no change";
    const doubts = answer.doubts.length;
    return [
      `By all readings the heights are ${now}.`,
      `Next plan: ${work} (${inHundred(best.odds)}).`,
      ...(doubts ? [counted(doubts, "{n} reading looks wrong.", "{n} readings look wrong.")] : []),
    ];
  } catch (error) {
    const problem = /** @type {import("../../model/solver.js").SolverProblem} */ (error);
    if (problem.name !== "SolverProblem") throw error;
    return [`No plan with it: ${problem.detail}`];
  }
}
