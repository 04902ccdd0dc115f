/* Where a job stands, in words, and where it goes on (work/flow.js decides that). Reads a sheet and its stages; draws
   nothing. */

import { adjustWhere } from "./adjust-steps.js";
import { judged, onTarget, open, whereNow } from "./flow.js";
import { needs } from "./guide.js";
import { teeth } from "./numbers.js";
import { counted } from "./plural.js";
import { planFor, stageName } from "./promise.js";
import { titled } from "./sentence.js";
import { lastOfDay } from "./sheet.js";
import { placeOf, progress, underWay, walkThere } from "./teardown-steps.js";
import { verdictOf } from "./verdict.js";
import { otherAxle } from "./weighing.js";

/** @import { Folded, Sheet, Stage } from "../types/sheet.d.ts" */
/** @import { Route } from "./guide.js" */

/**
 * A sentence, the way on, whether it is handed over; `place` the same shorter, for the key that goes on.
 * @typedef {{ words: string, place: string, next: Route, done: boolean }} Standing
 */

/** @type {Record<string, string>} */
const SAID = {
  closed: "Handed over",
  noTarget: "Target not chosen",
  ready: "Plan ready",
  onTarget: "On target: hand over",
};

/** @typedef {"left" | "right"} Side */

/** @type {Record<Side, string>} */
const SIDE = { left: "Left side", right: "Right side" };
/** @type {Record<"inner" | "outer", string>} */
const END = { inner: "inner end", outer: "outer end" };

/**
 * "Left side, step 7 of 25: inner end, 3 teeth arm up".
 * @param {Sheet} sheet
 * @param {number} number of the teardown under way
 * @returns {Pick<Standing, "words" | "place">}
 */
function teardownWords(sheet, number) {
  const plan = planFor(sheet, number);
  const { steps, next: at } = plan ? progress(sheet, plan) : { steps: [], next: 0 };
  const step = steps[at];
  const stage = stageName(sheet, number);
  if (!step) return { words: titled(stage), place: stage };
  const side = /** @type {Side | null} */ (step.side);
  const turn = /** @type {{ end: "inner" | "outer", teeth: number } | undefined} */ (step.turn);
  const adjust = step.adjust ? `${adjustWhere(step.adjust)}, ${step.name.toLowerCase()}` : step.name;
  const what = turn ? `${END[turn.end]}, ${teeth(turn.teeth)}` : adjust;
  const where = side ? SIDE[side] : titled(stage);
  return {
    words: `${where}, ${placeOf(sheet, plan, at)}: ${what}`,
    place: side ? SIDE[side].toLowerCase() : stage,
  };
}

/**
 * What is said before anything is turned.
 * @param {Sheet} sheet
 * @returns {Pick<Standing, "words" | "place">}
 */
function closedCarWords(sheet) {
  if (!Object.keys(sheet.target).length) return { words: SAID.noTarget, place: "target" };
  const needed = needs(sheet).length;
  if (needed)
    return { words: counted(needed, "{n} answer still needed", "{n} answers still needed"), place: "readings" };
  const more = open(sheet).length;
  if (more)
    return {
      words: counted(more, "Plan ready; {n} more answer sharpens it", "Plan ready; {n} more answers sharpen it"),
      place: "readings",
    };
  return { words: SAID.ready, place: "plan" };
}

/**
 * After a teardown.
 * @param {Pick<Folded, "sheet" | "stages">} job
 * @returns {Pick<Standing, "words" | "place">}
 */
function afterWords({ sheet, stages }) {
  if (!judged(stages, sheet.teardowns))
    return { words: `${titled(stageName(sheet, sheet.teardowns))} done: measure heights`, place: "check" };
  if (onTarget(stages, sheet)) return { words: SAID.onTarget, place: "hand-over" };
  if (onTarget(stages)) return { words: `On target here; the ${otherAxle(sheet.car)} is not yet`, place: "plan" };
  // Judged, so there is a last stage.
  return { words: verdictOf(/** @type {Stage} */ (lastOfDay(stages))).title, place: "check" };
}

/**
 * Where a job stands.
 * @param {Pick<Folded, "sheet" | "stages"> & { walk?: import("./teardown-steps.js").Walk | null }} job `walk` the other
 *   axle's teardown, where more is known of it than its ticks
 * @returns {Standing}
 */
export function standing(job) {
  const { sheet, walk = walkThere(sheet) } = job;
  const next = /** @type {Route} */ ({ query: {}, .../** @type {any} */ (whereNow(job)) });
  if (sheet.closed) return { words: SAID.closed, place: "hand-over", next, done: true };
  if (walk) return { words: `${walk.name} under way`, place: walk.name.toLowerCase(), next, done: false };
  const number = underWay(sheet);
  const said = number ? teardownWords(sheet, number) : sheet.teardowns ? afterWords(job) : closedCarWords(sheet);
  return { ...said, next, done: false };
}
