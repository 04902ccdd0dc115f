/* What a list does not show: jobs that only the shop has, where this device alone has told, and jobs that the shop has
   still to read. So that nobody takes a part for the whole. */

import { lackWords, unreadWords } from "../work/holding-words.js";

/** @import { Context } from "../types/context.d.ts" */

/**
 * In words; "" where the list is whole.
 * @param {Context} ctx with `rest`
 * @param {{ lack?: { code: string } | null, unread?: number }} told why the shop has not told, and how much it has
 *   still to read
 */
export async function notAllWords(ctx, { lack = null, unread = 0 }) {
  if (!lack) return unread ? unreadWords(unread) : "";
  const held = await ctx.shop.holding({ ask: false });
  return held ? lackWords(held) : "";
}
