/* The bench: other bars, another load or another target beside the car as it is. What is typed stands on the left, what
   came of it on the right; on a narrow window the chances stay in sight above what is typed. Nothing of it goes to the
   log, but the target when asked; what is typed is kept on this device. */

import { stopped } from "../../parts/conflicts.js";
import { h } from "../../parts/dom.js";
import { useStyle } from "../../parts/style.js";
import { needs } from "../../work/guide.js";
import { Bench } from "./what-if-bench.js";
import { fittingNote, inputTable } from "./what-if-table.js";
import { MOST, keepTrials, trials } from "./what-if-trial.js";

/** @import { JobContext, Shown } from "../../types/context.d.ts" */

// Without it the columns would not fit a narrow window: the screen waits.
await useStyle("what-if");

const SAID = {
  title: "Other bars or loads",
  lead: "Trials only: nothing here changes the job.",
  first: "First get a plan, then try other bars.",
  needed: "Needed for a plan",
  add: "Add a trial",
};

/** What stands in the way of trying anything; null where nothing does.
 * @param {JobContext} ctx */
function whyNot(ctx) {
  const hold = stopped(ctx);
  if (hold || !needs(ctx.sheet).length) return hold;
  return h(
    "div",
    { class: "gaps" },
    h("p", { text: SAID.first }),
    h("a", { class: "key wide", href: ctx.href({ words: ["plan"] }) }, SAID.needed),
  );
}

/** The screen.
 * @param {JobContext} ctx @returns {Shown} */
export function whatIf(ctx) {
  const { title } = SAID;
  const top = [h("h1", { text: title }), h("p", { class: "where", text: SAID.lead })];
  const why = whyNot(ctx);
  if (why) return { title, node: h("div", { class: "plan bench" }, top, why) };
  // Who opens the bench may be without a network at the next figure; a failure is told when a trial needs it.
  ctx.model.warmBench().catch(() => {});
  const list = trials(ctx);
  const bench = new Bench(ctx, list);
  const again = (/** @type {any[]} */ next) => {
    if (ctx.kept(() => keepTrials(ctx, next))) ctx.redraw();
  };
  const add = h(
    "button",
    { type: "button", class: "key", onclick: () => again([...list, structuredClone(list[list.length - 1])]) },
    SAID.add,
  );
  bench.start();
  return {
    title,
    fresh() {},
    node: h(
      "div",
      { class: "plan bench" },
      top,
      bench.strip,
      h(
        "div",
        { class: `bench-sides cols-${list.length + 1}` },
        h(
          "div",
          { class: "bench-inputs" },
          inputTable(ctx, { names: bench.names, made: bench.made, list, again }),
          h("div", { class: "keys" }, list.length < MOST ? add : null),
        ),
        h("div", { class: "bench-results" }, bench.table, bench.rowsKey, bench.status),
      ),
      bench.minded,
      fittingNote(),
    ),
  };
}
