/* What a job's entries come to, by the sheet's own Python files in the solver's worker: the same as on the shop's PC.

   Computes nothing itself. */

import { sheets, stop } from "../model/solver.js";
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
 * The same where a stranger may have made the entries: null where it takes longer than that, and the worker that was
 * at it is stopped.
 * @param {{ job: string, entries: Entry[] }[]} jobs
 * @param {number} ms
 */
export async function foldWithin(jobs, ms) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let late;
  const end = new Promise((resolve) => {
    late = setTimeout(() => resolve(null), ms);
  });
  const folded = fold(jobs);
  const found = await Promise.race([folded, end]).finally(() => clearTimeout(late));
  if (found) return /** @type {Awaited<typeof folded>} */ (found);
  folded.catch(() => {});
  stop();
  return null;
}

/**
 * The same for one job as it is on this phone.
 * @param {string} job
 */
export async function sheetOf(job) {
  const [one] = await fold([{ job, entries: await entries(job) }]);
  return one;
}
