/* What a job's entries come to, by the sheet's own Python files in the solver's worker: the same as on the shop's PC.

   Computes nothing itself. */

import { sheets } from "../model/solver.js";
import { entries } from "./log.js";

/** @import { Entry } from "../types/log.d.ts" */

/**
 * What lists of entries come to, any order, repeated or not; one each.
 * @param {{ job: string, entries: Entry[] }[]} jobs
 */
export async function fold(jobs) {
  // One question each: about four times as fast for 50 jobs, on a nearly empty heap, and a plan need not wait for all.
  const found = await Promise.all(jobs.map((one) => sheets([one])));
  return found.flat();
}

/**
 * The same for one job as it is on this phone.
 * @param {string} job
 */
export async function sheetOf(job) {
  const [one] = await fold([{ job, entries: await entries(job) }]);
  return one;
}
