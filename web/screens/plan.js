/* The plan: asks for it, shows it, and leads on to what it still needs. Where the plan is worked out is shop/plan.js's
   choice; its page is plan-page.js. */

import { stopped } from "../parts/conflicts.js";
import { h } from "../parts/dom.js";
import { keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { needs } from "../work/guide.js";
import { placeOf } from "../work/places.js";
import { nameOf } from "../work/readings.js";
import { planPage } from "./plan-page.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { SolveAnswer } from "../types/wire.d.ts" */
/** @import { Asked, Read } from "../work/guide.js" */

/** @typedef {{ code?: string, path?: string, detail?: string, message?: string }} Wrong Why there is no plan. */

const SAID = {
  title: "Plan",
  working: "Working it out",
  needed: "Needed for a plan",
  none: "No plan yet",
  log: "Log",
  again: "Try again",
};

/** The screen of a plan that cannot be made yet: what it needs, each a key. @param {JobContext} ctx
 * @param {(Asked | Read)[]} steps */
function lacking(ctx, steps) {
  const name = (/** @type {Asked | Read} */ step) => (step.step ? nameOf(step.step) : step.title);
  const rows = steps.map((step) => ({ words: name(step), href: ctx.href(step) }));
  return shell({
    title: SAID.needed,
    body: [keyRows(rows)],
    main: { words: rows[0].words, href: rows[0].href },
    quiet: { words: SAID.log, href: ctx.href({ words: ["list"] }) },
  }).node;
}

/** The screen of a plan that was refused. @param {JobContext} ctx @param {Wrong} problem @param {() => void} again */
const refused = (ctx, problem, again) =>
  shell({
    title: SAID.none,
    body: [h("p", { class: "refused", role: "alert", text: problem.detail ?? String(problem.message) })],
    quiet: { words: SAID.log, href: ctx.href({ words: ["list"] }) },
    main: { words: SAID.again, ontap: again },
  }).node;

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function plan(ctx) {
  const root = h("div", { class: "plan" });
  const title = SAID.title;
  const put = (/** @type {Node} */ node) => root.replaceChildren(node);
  const log = { words: SAID.log, href: ctx.href({ words: ["list"] }) };
  const stop = stopped(ctx);
  if (stop) {
    put(shell({ title: SAID.none, body: [stop], main: log }).node);
    return { title, node: root };
  }
  if (needs(ctx.sheet).length) {
    put(lacking(ctx, needs(ctx.sheet)));
    return { title, node: root };
  }
  const { request, ids } = ctx.request;
  const both = Boolean(/** @type {any} */ (request.target).other);
  /** What a plan of both axles needs, where one is asked for. @type {import("./plan-page.js").Together | null} */
  let together = null;
  const show = (/** @type {{ answer: SolveAnswer, where: string }} */ found) => {
    const focused = root.contains(document.activeElement);
    put(planPage(ctx, { found, ids, request, together, redo: () => ctx.go({ words: ["plan"] }, { replace: true }) }));
    if (focused) /** @type {HTMLElement | null} */ (root.querySelector("h1"))?.focus({ preventScroll: true });
  };
  const failed = (/** @type {Wrong} */ problem) => {
    const field = placeOf(problem.path ?? "$", ids, ctx.sheet);
    if (!field) return put(refused(ctx, problem, work));
    const { code, detail, path } = problem;
    return ctx.refuse({ code, detail, path, key: field.key }, field.route);
  };
  async function work() {
    put(shell({ title, body: [h("p", { class: "working", role: "status", text: SAID.working })], quiet: log }).node);
    try {
      if (both) {
        const { needsThere } = await import("../work/there.js");
        const there = needsThere(ctx.sheet);
        if (there.length) return put(lacking(ctx, there));
        together = { ...(await import("../work/both-deck.js")), ...(await import("./plan-both.js")) };
      }
      const found = await ctx.model.askForPlan(request);
      if (root.isConnected) show(found);
    } catch (problem) {
      if (root.isConnected) failed(/** @type {Wrong} */ (problem));
    }
    return undefined;
  }
  const here = both ? null : ctx.model.planAtHand(request);
  if (here) show(here);
  else work();
  return { title, node: root };
}
