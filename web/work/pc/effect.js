/* What an entry that is not written yet would change: the job folded with it, and the plan that follows. Nothing is
   kept. */

import { adjusterOf, adjusts, adjustsAlone, sideWords, turnsNothing } from "../adjuster.js";
import { inHundred, plain } from "../numbers.js";
import { length } from "../units.js";
import { needs } from "../guide.js";
import { counted } from "../plural.js";
import { afterStage } from "../promise.js";
import { nameOf, SIDES } from "../readings.js";

/** @import { Entry, Item } from "../../types/log.d.ts" */
/** @import { Folded, Sheet } from "../../types/sheet.d.ts" */
/** @import { Context } from "../../types/context.d.ts" */

const SAID = {
  none: (/** @type {string} */ why) => `No plan with it: ${why}.`.replace(/\.\.$/, "."),
  turns: (/** @type {string} */ chance, /** @type {string} */ left, /** @type {string} */ right) =>
    `Next plan: ${chance}, left ${left}; right ${right}`,
  leave: (/** @type {string} */ chance) => `Next plan: ${chance}, no change`,
  brief: (/** @type {string} */ chance, /** @type {string} */ left, /** @type {string} */ right) =>
    `${chance}: L ${left}, R ${right}`,
  briefLeave: (/** @type {string} */ chance) => `${chance}: no change`,
  doubts: (/** @type {number} */ n) => counted(n, "{n} reading looks wrong.", "{n} readings look wrong."),
};

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
 * @param {Pick<Context, "log" | "model" | "pc">} ctx
 * @param {string} job
 * @param {Entry[]} entries
 * @param {Item[]} items
 */
export async function folded(ctx, job, entries, items) {
  let last = entries.reduce((greatest, { id }) => (id > greatest ? id : greatest), "");
  const next = () => (last = ctx.log.newId({ after: last || null }));
  const more = items.map(([kind, body]) => ({
    schema: ctx.pc.schemaOf(kind, body),
    id: next(),
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
 * @param {Pick<Folded, "sheet" | "stages">} job
 * @param {number} teardown
 */
export function readWords({ sheet, stages }, teardown) {
  const stage = stages.find((each) => each.teardown === teardown) ?? stages.findLast(({ after_km: km }) => km === null);
  if (!stage) return [];
  const { left_mm: left, right_mm: right, lean_mm: lean } = stage.reached;
  const heights = [left === null ? "" : `left ${length(left)}`, right === null ? "" : `right ${length(right)}`]
    .filter(Boolean)
    .join(", ");
  const as = afterStage(sheet, stage.teardown);
  if (!heights) return [`No heights ${as}.`];
  const leaning = lean === null ? "" : `; lean ${length(lean)}`;
  const met = stage.hit === null ? "" : stage.hit ? ", on target" : ", off target";
  return [`Heights ${as}: ${heights}${leaning}${met}.`];
}

/** "2↓": so much arm down, "0" for nothing. @param {number} count @param {string} [text] */
const arrowed = (count, text = String(Math.abs(count))) => (count ? `${text}${count > 0 ? "↓" : "↑"}` : "0");

/** What a side of a plan turns, as short as it can be said: inner and outer end, or degrees.
 * @param {import("../sheet.js").Turned} side */
export function turnsBrief({ inner = null, outer = null, turn_deg: deg }) {
  if (inner === null && outer === null) {
    const text = plain(Math.abs(deg ?? 0), 1);
    return arrowed(Number(text.replace(",", ".")) ? (deg ?? 0) : 0, `${text}°`);
  }
  return `${arrowed(inner ?? 0)} ${arrowed(outer ?? 0)}`;
}

/**
 * The plan that follows, in one line: its chance and the teeth; why there is none where no plan can be made. `more`:
 * what else is to be known before choosing.
 * @param {Pick<Context, "model">} ctx
 * @param {Pick<Folded, "sheet" | "request">} job
 * @returns {Promise<{ line: string, brief: string, more: string[] }>} `brief` the line as short as the eye can take it;
 *   the same where there is no plan
 */
export async function planLine(ctx, { sheet, request }) {
  const none = (/** @type {string} */ why) => ({ line: SAID.none(why), brief: SAID.none(why), more: [] });
  const [stop] = request.stops;
  if (stop) return none(stop.text);
  if (needs(sheet).length) return none(lackWords(sheet));
  try {
    const { answer } = await ctx.model.askForPlan(request.request);
    const [best] = answer.options;
    const how = { kind: adjusterOf(sheet.car)?.kind, alone: adjustsAlone(best) };
    const doubts = answer.doubts.length;
    const [left, right] = SIDES.map((side) => sideWords(best[side], how));
    const chance = inHundred(best.odds);
    return {
      line: !turnsNothing(best) ? SAID.turns(chance, left, right) : SAID.leave(chance),
      brief: !turnsNothing(best)
        ? adjusts(best)
          ? SAID.brief(chance, left, right)
          : SAID.brief(chance, turnsBrief(best.left), turnsBrief(best.right))
        : SAID.briefLeave(chance),
      more: doubts ? [SAID.doubts(doubts)] : [],
    };
  } catch (error) {
    const problem = /** @type {import("../../model/solver.js").SolverProblem} */ (error);
    if (problem.name !== "SolverProblem") throw error;
    return none(problem.detail);
  }
}
