/* The number of a job: as it came with the job's records, else asked of the shop, for a device that had them before
   there were numbers. */

import { noteNumber, numberHere } from "../../book/numbers.js";
import { counts } from "../../book/outbox.js";
import { askShop } from "./asks.js";

/**
 * The job's number at the shop, null where it has none or nobody knows it.
 * @param {string} job
 * @returns {Promise<number | null>}
 */
export async function numberOf(job) {
  const here = await numberHere(job);
  if (here !== null) return here;
  // The shop knows nothing yet of a job that was only just begun here.
  if (!(await counts(job)).shop) return null;
  const { body } = await askShop(`/api/jobs/${job}`);
  if (typeof body?.number !== "number") return null;
  await noteNumber(job, body.number).catch(() => {});
  return body.number;
}
