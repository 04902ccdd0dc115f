/* Keeping what a person says of several jobs at once: all of it in one transaction, or nothing. */

import { jobs, merge } from "../../book/log.js";
import { rowOf } from "../../book/whole.js";
import { fetchJob } from "../fetch.js";
import { syncNow } from "../pace.js";

/** @import { Said } from "../../work/which-car.js" */

/**
 * Those of some jobs that are not on this device, or not whole.
 * @param {string[]} wanted
 */
async function lacks(wanted) {
  const here = new Set(await jobs());
  const whole = await Promise.all(wanted.map(async (job) => (await rowOf(job))?.whole !== false));
  return wanted.filter((job, i) => !here.has(job) || !whole[i]);
}

/**
 * Keep it. Resolves to the jobs whose records have not come to this device, if any; then nothing is
 * kept, since whoever speaks of a job must have before them what others said of it.
 * @param {Said} said
 * @returns {Promise<string[]>}
 */
export async function sayOfJobs(said) {
  // A device that holds some of the shop's jobs fetches those that are spoken of: whoever writes has seen the job.
  for (const job of await lacks([...said.keys()])) await fetchJob(job);
  const lacking = await lacks([...said.keys()]);
  if (lacking.length) {
    syncNow();
    return lacking;
  }
  await merge([], { came: "here", then: said });
  return [];
}
