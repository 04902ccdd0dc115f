/* Keeping what a person says of several jobs at once: all of it in one transaction, or nothing. */

import { jobs, merge } from "../../book/log.js";
import { syncNow } from "../pace.js";

/** @import { Said } from "../../work/which-car.js" */

/**
 * Keep it. Resolves to the jobs whose records have not come to this device, if any; then nothing is
 * kept, since whoever speaks of a job must have before them what others said of it.
 * @param {Said} said
 * @returns {Promise<string[]>}
 */
export async function sayOfJobs(said) {
  const here = new Set(await jobs());
  const lacking = [...said.keys()].filter((job) => !here.has(job));
  if (lacking.length) {
    syncNow();
    return lacking;
  }
  await merge([], { came: "here", then: said });
  return [];
}
