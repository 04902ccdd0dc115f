/* The running line of a question: the chance so far, and what this question would make it. Asked of the model on this
   phone, as the plan asks it, so that the plan is there when it is wanted; never in the way of typing. */

import { presumed, worthOf } from "../work/flow.js";
import { needs } from "../work/guide.js";
import { runningLine } from "./running-line.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Advice, SolveAnswer } from "../types/wire.d.ts" */

/** What was last shown, so that it stays, dimmed, while it is worked out again.
 * @type {{job: string, chance: number | null}} */
let before = { job: "", chance: null };

/**
 * What the model says of the job as it stands, or as it would be with the heights that are lacking; null where nothing.
 * @param {JobContext} ctx
 * @param {boolean} lacking whether no plan can be made yet
 * @returns {Promise<SolveAnswer | null>}
 */
async function askModel(ctx, lacking) {
  const { request } = ctx.request;
  const asked = lacking ? presumed(ctx.sheet, request) : request;
  if (!asked) return null;
  return (lacking ? ctx.model.solve(asked) : ctx.model.checked(asked)).catch(() => null);
}

/**
 * What the line shows of an answer. Heights come in twos: what they bring together is said at either.
 * @param {SolveAnswer | null} answer
 * @param {boolean} bare whether nothing was read yet
 * @param {{key: string, side?: Advice["side"] | null}} asked
 * @returns {{chance: number | null, with: number | null}}
 */
function shownOf(answer, bare, asked) {
  const now = answer?.options?.[0]?.odds ?? null;
  if (bare) return { chance: null, with: now };
  return { chance: now, with: worthOf(answer, asked)?.to ?? null };
}

/**
 * The line of a screen.
 * @param {JobContext} ctx
 * @param {{key: string, side?: Advice["side"] | null, again?: boolean}} asked as for worthOf; `again` where it was read
 *   before
 * @returns {Element}
 */
export function running(ctx, { key, side = null, again = false }) {
  const chance = before.job === ctx.job ? before.chance : null;
  const line = runningLine({ chance, again, computing: true, href: ctx.href({ words: ["plan"] }) });
  let gone = false;
  ctx.whileShown(() => (gone = true));
  const work = async () => {
    if (gone) return;
    const lacking = needs(ctx.sheet).length > 0;
    const answer = await askModel(ctx, lacking);
    if (gone) return;
    const shown = shownOf(answer, lacking || ctx.sheet.readings.length === 0, { key, side });
    if (answer && !lacking) before = { job: ctx.job, chance: shown.chance };
    line.show({ ...shown, computing: false });
  };
  (globalThis.requestIdleCallback ?? setTimeout)(work);
  return line.node;
}
