/* What a screen of a job is given when it is shown of the job's other axle: the sheet seen from there, and its words
   kept as that axle's. The screen knows by `there` which axle it is, and nothing else of it. */

import { inside, keptThere, seenThere } from "../work/there.js";
import { answerThere, begunHere, planOf, requestHere, requestThere } from "../work/walk.js";
import { otherAxle } from "../work/weighing.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { JobContext, Route } from "../types/context.d.ts" */
/** @import { Plan } from "../types/sheet.d.ts" */
/** @import { SolveAnswer, SolveRequest } from "../types/wire.d.ts" */

/** The screen that all of these come back to. */
const HUB = "axle";
/** Screens of a teardown: what they ask of the model is of that axle. */
const STEPS = ["propped", "teardown"];
const SAID = { none: "The plan of both axles is not there. Look at the plan first." };

/** What the steps of a teardown ask the model, as if the job were of that axle. @param {JobContext} ctx */
function modelThere(ctx) {
  const { request } = ctx.request;
  const seen = requestThere(request);
  const own = (/** @type {SolveRequest} */ asked) => (asked === seen ? request : requestHere(asked, request));
  const turned = (/** @type {SolveAnswer} */ answer) => {
    if (!answer.both) throw { detail: SAID.none };
    return answerThere(answer);
  };
  return {
    of: request,
    request: { ...ctx.request, request: seen },
    model: {
      ...ctx.model,
      askForPlan: async (/** @type {SolveRequest} */ asked) => {
        const found = await ctx.model.askForPlan(own(asked));
        return { ...found, answer: turned(found.answer) };
      },
      checked: async (/** @type {SolveRequest} */ asked) => turned(await ctx.model.checked(own(asked))),
    },
  };
}

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
  const key = planOf(ctx.sheet.car);
  /** @type {() => Plan | null} */
  const plan = () => drafts.draft(ctx.job, key);
  /** What is entered there: a plan is kept on this device, all else in the log. @type {JobContext["save"]} */
  const save = async (items, how) => {
    const rest = items.filter(([kind]) => kind !== "plan");
    const body = items.find(([kind]) => kind === "plan")?.[1];
    if (body && !ctx.kept(() => drafts.keep(ctx.job, key, body))) return false;
    return !rest.length || ctx.save(keptThere(/** @type {Item[]} */ (rest), axle), how);
  };
  /** @type {Partial<JobContext>} */
  const given = {
    there: axle,
    words: ctx.words.slice(1),
    // Whoever came by the address alone comes back to that axle's own screen.
    query: ctx.query.series || ctx.query.from ? ctx.query : { ...ctx.query, from: HUB },
    begunElsewhere: begunHere(ctx.sheet),
    save,
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
      return seenThere(ctx.sheet, plan());
    },
  };
  const all = Object.create(ctx, Object.getOwnPropertyDescriptors(given));
  if (!STEPS.includes(ctx.words[1])) return all;
  let asks = modelThere(ctx);
  // Made once for each state of the log, so that what is asked of it can be told from what was made of it.
  const now = () => (asks.of === ctx.request.request ? asks : (asks = modelThere(ctx)));
  return Object.defineProperties(all, { model: { get: () => now().model }, request: { get: () => now().request } });
}
