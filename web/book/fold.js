/* What a job's entries come to, by the sheet's own Python files in the solver's worker: the same as on the shop's PC.

   Computes nothing itself. */

import { sheets } from "../model/solver.js";
import { entries } from "./log.js";

/**
 * What lists of entries come to: `jobs` is [{job, entries}], any order, repeated or not. Resolves to one
 * {sheet, request: {request, ids, stops}, stages, timeline} each, as in api/bothends/book/sheet/.
 */
export const fold = (jobs) => sheets(jobs);

/** The same for one job as it is on this phone. */
export async function sheetOf(job) {
  const [one] = await fold([{ job, entries: await entries(job) }]);
  return one;
}

/** The same for several jobs of this phone in one go, for the list of jobs. */
export const sheetsOf = async (jobs) => fold(await Promise.all(jobs.map(async (job) => ({ job, entries: await entries(job) }))));
