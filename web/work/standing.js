/* Where a job stands, in words, and where it goes on (work/flow.js decides that). Reads a sheet and its stages; draws
   nothing. */

import { judged, onTarget, open, whereNow } from "./flow.js";
import { needs } from "./guide.js";
import { teeth } from "./numbers.js";
import { counted } from "./plural.js";
import { planFor } from "./promise.js";
import { tolerant } from "./sheet.js";
import { placeOf, progress, underWay } from "./teardown-steps.js";
import { length } from "./units.js";
import { markOf } from "./wish.js";

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
  offTarget: "Off target: plan again",
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
  if (!step) return { words: `Teardown ${number}`, place: `teardown ${number}` };
  const side = /** @type {Side | null} */ (step.side);
  const turn = /** @type {{ end: "inner" | "outer", teeth: number } | undefined} */ (step.turn);
  const what = turn ? `${END[turn.end]}, ${teeth(turn.teeth)}` : step.name;
  const where = side ? SIDE[side] : `Teardown ${number}`;
  return {
    words: `${where}, ${placeOf(sheet, plan, at)}: ${what}`,
    place: side ? SIDE[side].toLowerCase() : `teardown ${number}`,
  };
}

/**
 * How far a car that was judged is off: "Off target: left 8 mm low", "Off target: leans by 7 mm, left higher".
 * @param {Stage | undefined} stage
 * @returns {string}
 */
function offWords(stage) {
  if (!stage || markOf(stage.target) !== "body-height") return SAID.offTarget;
  const { tolerance_mm: within, lean_mm: lean } = tolerant(stage.target);
  const off = /** @type {Side[]} */ (["left", "right"])
    .map((side) => {
      const { [`${side}_mm`]: reached } = /** @type {any} */ (stage.reached);
      const { [`${side}_mm`]: wanted } = /** @type {any} */ (stage.target);
      return { side, by: typeof reached === "number" && typeof wanted === "number" ? reached - wanted : 0 };
    })
    .filter(({ by }) => Math.abs(by) > within)
    .sort((a, b) => Math.abs(b.by) - Math.abs(a.by));
  if (off.length) {
    const { side, by } = off[0];
    return `Off target: ${side} ${length(Math.abs(by))} ${by < 0 ? "low" : "high"}`;
  }
  const leans = stage.reached.lean_mm ?? 0;
  if (Math.abs(leans) > lean)
    return `Off target: leans by ${length(Math.abs(leans))}, ${leans > 0 ? "left" : "right"} higher`;
  return SAID.offTarget;
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
    return { words: `Teardown ${sheet.teardowns} done: measure heights`, place: "check" };
  if (onTarget(stages)) return { words: SAID.onTarget, place: "hand-over" };
  return { words: offWords(stages.findLast((stage) => (stage.after_km ?? null) === null)), place: "check" };
}

/**
 * Where a job stands.
 * @param {Pick<Folded, "sheet" | "stages">} job
 * @returns {Standing}
 */
export function standing(job) {
  const { sheet } = job;
  const next = /** @type {Route} */ ({ query: {}, .../** @type {any} */ (whereNow(job)) });
  if (sheet.closed) return { words: SAID.closed, place: "hand-over", next, done: true };
  const number = underWay(sheet);
  const said = number ? teardownWords(sheet, number) : sheet.teardowns ? afterWords(job) : closedCarWords(sheet);
  return { ...said, next, done: false };
}
