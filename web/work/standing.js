/* Where a job stands, in words, and which screen goes on from there. Reads a sheet and its stages; draws nothing. */

import { plain } from "./numbers.js";
import { missing, needs, steps } from "./guide.js";
import { formOf } from "./wish.js";

/** @import { Folded, Stage } from "../types/sheet.d.ts" */
/** @import { Route } from "./guide.js" */

/** @typedef {{ words: string, next: Route, done: boolean }} Standing A sentence, the way on, whether it is handed over. */

/** @type {Route} */
const PLAN = { words: ["plan"], query: {} };

/**
 * Both heights after the last teardown, on hand-over day, or null: {left_mm, right_mm, hit}.
 * @param {Stage[]} stages
 */
function reached(stages) {
  const last = stages.findLast((stage) => (stage.after_km ?? null) === null);
  if (!last) return null;
  const { left_mm, right_mm } = last.reached;
  return left_mm === null || right_mm === null ? null : { left_mm, right_mm, hit: last.hit };
}

/**
 * Where a job stands.
 * @param {Pick<Folded, "sheet" | "stages">} job
 * @returns {Standing}
 */
export function standing({ sheet, stages }) {
  if (sheet.closed) return { words: "handed over", next: { words: ["close"], query: {} }, done: true };
  const lacking = missing(sheet);
  // A job that came with less can be planned all the same; once it is, nothing is asked for the first plan.
  const open =
    needs(sheet).length > 0 || (formOf(sheet.target) === "heights" && !sheet.teardowns && sheet.state !== "planned");
  if (lacking.length && open) {
    const next = steps(sheet).find((step) => !step.done) ?? lacking[0];
    return {
      words: lacking.length === 1 ? "one answer to the first plan" : `${lacking.length} answers to the first plan`,
      next,
      done: false,
    };
  }
  if (!sheet.teardowns)
    return {
      words: sheet.state === "planned" ? "planned; ready for teardown 1" : "ready to plan",
      next: PLAN,
      done: false,
    };
  const found = reached(stages);
  if (!found || sheet.state === "torn down") {
    if (sheet.state === "checked" && !found) {
      const hit = stages.findLast((stage) => stage.hit !== null)?.hit;
      return {
        words: `after teardown ${sheet.teardowns}: ${hit ? "as agreed; hand over" : "plan again"}`,
        next: hit ? { words: ["close"], query: {} } : PLAN,
        done: false,
      };
    }
    const next = steps(sheet).find((step) => !step.done && !step.optional) ?? PLAN;
    return { words: `after teardown ${sheet.teardowns}; heights still to be read`, next, done: false };
  }
  const heights = `left ${plain(found.left_mm, 0)}, right ${plain(found.right_mm, 0)} mm`;
  if (found.hit)
    return {
      words: `after teardown ${sheet.teardowns}: ${heights}, as agreed; hand over`,
      next: { words: ["close"], query: {} },
      done: false,
    };
  return { words: `after teardown ${sheet.teardowns}: ${heights}; plan again`, next: PLAN, done: false };
}
