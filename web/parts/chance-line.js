/* The running line of a question: the chance so far, and what this question would make it. Asked of the model on this
   phone, as the plan asks it, so that the plan is there when it is wanted; never in the way of typing. */

import { HARDLY, presumed, worthOf } from "../work/flow.js";
import { needs } from "../work/guide.js";
import { runningLine } from "./running-line.js";

/** What was last shown, so that it stays, dimmed, while it is worked out again.
 * @type {{job: string, chance: number | null}} */
let before = { job: "", chance: null };

/**
 * The line of a screen.
 * @param {any} ctx
 * @param {{key: string, side?: string | null, again?: boolean}} asked as for worthOf; `again` where it was read before
 * @returns {Element}
 */
export function running(ctx, { key, side = null, again = false }) {
  const chance = before.job === ctx.job ? before.chance : null;
  const line = runningLine({ chance, again, computing: true, href: ctx.href({ words: ["plan"] }) });
  let gone = false;
  ctx.whileShown(() => (gone = true));
  (globalThis.requestIdleCallback ?? setTimeout)(async () => {
    if (gone) return;
    const lacking = needs(ctx.sheet).length > 0;
    const request = lacking ? presumed(ctx.sheet, ctx.request.request) : ctx.request.request;
    const answer =
      request && (await (lacking ? ctx.model.solve(request) : ctx.model.checked(request)).catch(() => null));
    if (gone) return;
    const bare = lacking || ctx.sheet.readings.length === 0;
    const now = answer?.options?.[0]?.odds ?? null;
    const worth = bare ? null : worthOf(answer, { key, side });
    if (!lacking && answer) before = { job: ctx.job, chance: bare ? null : now };
    // Heights come in twos: what they bring together is said at either.
    line.show({ chance: bare ? null : now, with: bare ? now : (worth?.to ?? null), computing: false });
    line.node.dataset.worth = worth && worth.to - worth.from >= HARDLY ? "gain" : "";
  });
  return line.node;
}
