/* What a screen of a job is given when it is shown of the job's other axle: the sheet seen from there, and its words
   kept as that axle's. The screen knows by `there` which axle it is, and nothing else of it. */

import { inside, keptThere, seenThere } from "../work/there.js";
import { otherAxle } from "../work/weighing.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { JobContext, Route } from "../types/context.d.ts" */

/** The screen that all of these come back to. */
const HUB = "axle";

/**
 * The context of a screen inside the other axle's, at the address ["axle", screen, ...].
 * @param {JobContext} ctx of a job of both axles
 * @returns {JobContext}
 */
export function there(ctx) {
  const axle = otherAxle(ctx.sheet.car);
  const own = (/** @type {string} */ key) => `${axle}/${key}`;
  const way = (/** @type {Route} */ route) => {
    const { words, query = {} } = inside(/** @type {any} */ (route));
    // What the job asks next of its own axle is not asked of this one.
    if (["ground", "zero", "pose"].includes(words[0])) return { words: [HUB] };
    return words[1] === "target" && !query.from ? { words, query: { ...query, from: HUB } } : { words, query };
  };
  const { drafts } = ctx;
  /** @type {Partial<JobContext>} */
  const given = {
    there: axle,
    words: ctx.words.slice(1),
    // Whoever came by the address alone comes back to that axle's own screen.
    query: ctx.query.series || ctx.query.from ? ctx.query : { ...ctx.query, from: HUB },
    save: (items, how) => ctx.save(keptThere(/** @type {Item[]} */ (items), axle), how),
    go: (to, how) => ctx.go(way(to), how),
    href: (to, job) => ctx.href(way(to), job),
    problemAt: (key) => ctx.problemAt(own(key)) ?? ctx.problemAt(key),
    solved: (key) => [own(key), key].forEach(ctx.solved),
    drafts: {
      draft: (job, key) => drafts.draft(job, own(key)),
      keep: (job, key, state) => drafts.keep(job, own(key), state),
      drop: (job, key) => drafts.drop(job, own(key)),
    },
    get sheet() {
      return seenThere(ctx.sheet);
    },
  };
  return Object.create(ctx, Object.getOwnPropertyDescriptors(given));
}
