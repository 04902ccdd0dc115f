/* The chance of a job that is planned and not begun: no plan of it is kept yet, so it is worked out when its row is in
   sight, one job after the other, and once as long as the job stays as it is. */

import { look } from "../../book/snapshot.js";
import { inUnits } from "../../work/units.js";
import { askForPlan } from "../plan.js";
import { askShop } from "./asks.js";

/** @import { SolveRequest } from "../../types/wire.d.ts" */

/** @typedef {{ job: string, entries: number, here: boolean }} Row */

/** By job: how many records it had then, whether whoever asked last still waits, and what it came to.
 * @type {Map<string, { entries: number, wanted: () => boolean, chance: Promise<number | null> }>} */
const found = new Map();
/** @type {Promise<unknown>} */
let last = Promise.resolve();

/** @param {Row} row @returns {Promise<SolveRequest | null>} */
async function requestOf({ job, here }) {
  if (here) {
    const { request } = await look(job);
    return request.stops.length ? null : request.request;
  }
  const { body } = await askShop(`/api/jobs/${job}`);
  return body?.request ?? null;
}

/** @param {Row} row */
async function worked(row) {
  try {
    const request = await requestOf(row);
    if (!request) return null;
    const { answer } = await askForPlan(inUnits(request));
    return answer.withheld ? null : (answer.options[0]?.odds ?? null);
  } catch {
    // A job that cannot be planned has no chance; its own page says why.
    return null;
  }
}

/**
 * The chance that the job's plan has as the job stands, 0 to 1; null where there is none.
 * @param {Row} row
 * @param {() => boolean} wanted whether anybody still waits for it, asked as its turn comes
 * @returns {Promise<number | null>}
 */
export function chanceOf(row, wanted) {
  const before = found.get(row.job);
  if (before?.entries === row.entries) {
    // A row that is drawn again waits in place of the one before.
    before.wanted = wanted;
    return before.chance;
  }
  const mine = { entries: row.entries, wanted, chance: /** @type {Promise<number | null>} */ (Promise.resolve(null)) };
  mine.chance = last.then(() => {
    if (mine.wanted()) return worked(row);
    found.delete(row.job);
    return null;
  });
  found.set(row.job, mine);
  last = mine.chance;
  return mine.chance;
}
