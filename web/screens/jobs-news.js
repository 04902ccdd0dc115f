/* What is said of the jobs once their cards stand: conflicts to resolve, and what others added. */

import { counted } from "../work/plural.js";
import { newsCount, newsOf } from "../work/news.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { JobRow } from "../types/log.d.ts" */

/**
 * Conflicts of all jobs that are here: the way to the desk.
 * @param {Context} ctx
 * @param {number} asks how much their sheets ask
 * @param {HTMLElement} way
 */
export async function toResolve(ctx, asks, way) {
  const open = new Set((await ctx.log.disputed()).filter((row) => !row.settled).map(({ id }) => id));
  const much = asks + open.size;
  way.hidden = !much;
  way.textContent = counted(much, "{n} conflict to resolve", "{n} conflicts to resolve");
}

/**
 * What is new in these jobs since this device last looked at each, in words: known once the cards stand.
 * @param {Context} ctx
 * @param {JobRow[]} rows
 */
export async function newsIn(ctx, rows) {
  await ctx.need("rest");
  const [arrived, mine] = await Promise.all([ctx.news.arrivedByJob(rows.map(({ job }) => job)), ctx.device.deviceId()]);
  /** @type {Map<string, string>} */
  const words = new Map();
  if (!arrived.size) return words;
  for (const [job, ids] of arrived) {
    const news = newsOf(await ctx.log.entries(job), ids, mine);
    if (news.length) words.set(job, newsCount(news));
  }
  return words;
}
