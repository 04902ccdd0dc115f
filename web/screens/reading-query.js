/* A reading that does not fit the rest is asked about as soon as it is kept: likely what, the value that would
   fit, one tap to take it, one to keep it as read. The model on this phone judges; where it cannot in time,
   the plan will ask. */

import { strikeOf } from "../work/sheet.js";
import { pickOne } from "../parts/dialog.js";
import { needs } from "../work/guide.js";
import { queryOf } from "../work/reading-query.js";

/** @import { JobContext } from "../types/context.d.ts" */

const PATIENCE_MS = 2500;

/**
 * The doubt about an entry just kept, or null. `onwait()` when it is being worked out.
 * @param {JobContext} ctx
 * @param {string} id
 * @param {() => void} onwait
 */
async function doubtOf(ctx, id, onwait) {
  if (needs(ctx.sheet).length) return null;
  const { request, ids } = ctx.request;
  if (!ctx.model.already(request)) onwait();
  const answer = await ctx.model.checkedWithin(request, PATIENCE_MS);
  return answer?.doubts.find((doubt) => ids[doubt.log_index] === id) ?? null;
}

/**
 * Ask about the reading with that id where the model doubts it; what is chosen is kept. Resolves to "on" (go on) or
 * "again" (it was removed, to be read again).
 * @param {JobContext} ctx
 * @param {string} id
 * @param {() => void} [onwait]
 * @returns {Promise<"on" | "again">}
 */
export async function queried(ctx, id, onwait = () => {}) {
  const doubt = await doubtOf(ctx, id, onwait);
  const reading = doubt && ctx.sheet.readings.find((each) => each.id === id);
  if (!reading) return "on";
  const { title, options, fix, note } = queryOf(doubt, reading, ctx.sheet);
  const picked = await pickOne({ title, options });
  if (picked === "take" && fix) await ctx.save(fix, { said: "the value taken" });
  if (picked === "keep") await ctx.save([note], { said: "the note" });
  if (picked === "again")
    return (await ctx.save([strikeOf(reading)], { said: "the reading removed" })) ? "again" : "on";
  return "on";
}
