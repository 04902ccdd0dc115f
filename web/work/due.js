/* Whether a car that was handed over is still to be read again; what a recheck tells is recheck.js's business. */

import { SIDES } from "./readings.js";
import { heightsOf } from "./verdict.js";

/** @import { Folded, Side, Stage } from "../types/sheet.d.ts" */

const SAID = { due: "Recheck after some hundred km" };

/** Rechecks of a job: stages driven since hand-over, by kilometres.
 * @param {Stage[]} stages
 */
export const rechecks = (stages) => stages.filter((stage) => (stage.after_km ?? null) !== null);

/** Whether both heights of a recheck were read.
 * @param {Stage} stage
 */
export const whole = (stage) => SIDES.every((side) => heightsOf(stage)[/** @type {Side} */ (side)] !== null);

/**
 * What the card of a job says while its recheck is open, or null: handed over after a teardown and not read again.
 * @param {Pick<Folded, "sheet" | "stages">} job
 */
export function reminder({ sheet, stages }) {
  return sheet.closed && sheet.teardowns > 0 && !rechecks(stages).some(whole) ? SAID.due : null;
}
