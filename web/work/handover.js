/* What is still open when a car is to be handed over, and which checks are ticked. Names only; asking is the
   screen's. */

import { adjusterOf } from "./adjuster.js";
import { checksOf } from "./checks.js";
import { stageName, stageWork } from "./promise.js";
import { titled } from "./sentence.js";
import { lastOfDay } from "./sheet.js";
import { underWay, walkThere } from "./teardown-steps.js";
import { wantsBoth } from "./there.js";
import { verdictOf } from "./verdict.js";
import { otherAxle } from "./weighing.js";

/** @import { Folded, Sheet } from "../types/sheet.d.ts" */

/** A job as folded; `walk` the teardown under way at its other axle, where more is known of it than its ticks.
 * @typedef {Pick<Folded, "sheet" | "stages"> & { walk?: import("./teardown-steps.js").Walk | null }} Job */

const SAID = {
  none: "No teardown was made.",
  nothing: "Nothing was turned.",
  under: (/** @type {string} */ stage) => `${titled(stage)} is not finished.`,
  heights: "Heights after the last teardown are not read.",
  changed: "Heights after the last adjustment are not read.",
  angles: "Hanging angles after the last teardown are not read.",
  there: (/** @type {string} */ axle, /** @type {boolean | null} */ hit) =>
    hit === false ? `The ${axle} is off target.` : `Heights of the ${axle} as it stands are not read.`,
  unjudged: "The target cannot be judged by what was read.",
  conflicts: (/** @type {number} */ n) => (n === 1 ? "1 conflict to resolve." : `${n} conflicts to resolve.`),
  check: (/** @type {string} */ text) => `Not ticked: ${text}.`,
};

/** Whether a check is ticked.
 * @param {Pick<Sheet, "steps">} sheet
 * @param {string} name
 */
export const ticked = (sheet, name) => sheet.steps.some(({ step, done }) => step === name && done !== false);

/** What is not read after the last stage. @param {Sheet} sheet @param {boolean} angles */
const lacking = (sheet, angles) =>
  angles ? SAID.angles : stageWork(sheet, sheet.teardowns) === "adjustment" ? SAID.changed : SAID.heights;

/** What is open of the other axle, where both are to be set. @param {Sheet} sheet */
export const openThere = (sheet) =>
  wantsBoth(sheet) && sheet.other.hit !== true ? [SAID.there(otherAxle(sheet.car), sheet.other.hit)] : [];

/** What a teardown under way at either axle is called; "" where none is. @param {Job} job */
function underName({ sheet, walk = walkThere(sheet) }) {
  const number = sheet.closed ? null : underWay(sheet);
  if (walk && !sheet.closed) return walk.name;
  return number ? stageName(sheet, number) : "";
}

/** What is open of the work itself: what is not finished, else what the last readings do not say or deny.
 * @param {Job} job @returns {string[]} */
function unfinished(job) {
  const { sheet, stages } = job;
  const under = underName(job);
  const last = lastOfDay(stages);
  const verdict = last ? verdictOf(last) : null;
  if (under) return [SAID.under(under)];
  if (!sheet.teardowns && verdict?.state !== "on") return [adjusterOf(sheet.car) ? SAID.nothing : SAID.none];
  if (!verdict || verdict.state === "unread") return [lacking(sheet, verdict?.angles ?? false)];
  if (verdict.state === "unjudged") return [SAID.unjudged];
  return verdict.state === "off" ? [`${verdict.title}.`] : [];
}

/**
 * What is open, a sentence each, the gravest first; none where the car can be handed over without a word.
 * @param {Job} job
 * @returns {string[]}
 */
export function openOf(job) {
  const { sheet } = job;
  return [
    ...unfinished(job),
    ...openThere(sheet),
    ...(sheet.conflicts.length ? [SAID.conflicts(sheet.conflicts.length)] : []),
    ...checksOf(sheet)
      .filter(([name]) => !ticked(sheet, name))
      .map(([, text]) => SAID.check(text)),
  ];
}
