/* Hiding a job that was made by mistake, and showing it again: one quiet key with what it does. */

import { h } from "./dom.js";

/** @import { JobContext } from "../types/context.d.ts" */

const SAID = {
  hide: "Hide this job",
  does: "Made by mistake? It leaves lists, the car’s visits and statistics. It is kept, and found under Hidden.",
  hidden: "This job is hidden: it is in no list, visit or statistic.",
  show: "Show it again",
  saidHide: "hiding",
  saidShow: "showing",
};

/**
 * What is said above a job that is hidden; null where it is not.
 * @param {JobContext} ctx
 */
export const hiddenNote = (ctx) =>
  ctx.sheet.about.hidden ? h("p", { class: "refused", role: "status", text: SAID.hidden }) : null;

/**
 * The key, and what it does.
 * @param {JobContext} ctx
 */
export function hideKey(ctx) {
  const hidden = ctx.sheet.about.hidden === true;
  const run = async () => {
    const kept = await ctx.save([["job", { hidden: hidden ? null : true }]], {
      said: hidden ? SAID.saidShow : SAID.saidHide,
    });
    if (kept) ctx.redraw();
  };
  return h(
    "section",
    { class: "hide-job" },
    h("p", { class: "where", text: hidden ? SAID.hidden : SAID.does }),
    h("button", { type: "button", class: "key", onclick: run, text: hidden ? SAID.show : SAID.hide }),
  );
}
