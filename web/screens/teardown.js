/* All steps of a teardown as a list: those that are done folded away, the others in the order of the work, each a way
   to its own screen, where its caution stands and it is ticked. */

import { heldBack, meanwhile } from "../parts/conflicts.js";
import { icon } from "../parts/icons.js";
import { h } from "../parts/dom.js";
import { fold, keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { noPlan, waiting } from "../parts/teardown-step.js";
import { holdingBack } from "../work/card-conflicts.js";
import { liftWords } from "../work/lift.js";
import { inHundred } from "../work/numbers.js";
import { moveOf, promisedWords, stageName } from "../work/promise.js";
import { ofAxle, titled } from "../work/sentence.js";
import { inDegrees } from "../work/sheet.js";
import { hasBegun, progress, teardownAt } from "../work/teardown-steps.js";

/** @import { JobContext } from "../types/context.d.ts" */

/** @typedef {import("../work/teardown-steps.js").Step} Step */

const SAID = {
  back: "Plan",
  on: "Go on",
  check: "Measure",
  plan: "To the plan",
  before: "Before anything is loosened",
  left: "Left side",
  right: "Right side",
  after: "When both sides are together",
  rest: "The rest follows once the teeth are counted.",
  /** @param {number} count */
  done: (count) => (count === 1 ? "1 step done" : `${count} steps done`),
};

/** Steps of the car that come after its sides. */
const LAST = ["down", "drive"];
const sideName = { left: SAID.left, right: SAID.right };

/** What a lift means in figures, under its step. @param {Step} step */
function lifting(step) {
  const words = step.lift ? liftWords(step.lifts) : null;
  return words ? `${words.force}. Stored: ${words.fall}.` : undefined;
}

/** The screen. @param {JobContext} ctx */
export function teardown(ctx) {
  const found = teardownAt(ctx);
  if (!found) return noPlan(ctx, "Steps");
  const { number, plan } = found;
  const title = ofAxle(ctx.there, titled(stageName(ctx.sheet, number)));
  const begun = hasBegun(ctx.sheet, plan);
  const elsewhere = waiting(ctx, begun, title);
  if (elsewhere) return elsewhere;
  if (holdingBack(ctx.sheet).length && !begun) return heldBack(ctx, title);
  const { steps, done, next } = progress(ctx.sheet, plan);
  const to = (/** @type {number} */ at) =>
    ctx.href({ words: ["propped", String(number)], query: at === next ? {} : { at } });
  const row = (/** @type {Step} */ step) => {
    const at = steps.indexOf(step);
    const ticked = done[at];
    return {
      words: step.name,
      small: ticked && step.side ? sideName[step.side] : lifting(step),
      picture: ticked ? icon("tick") : null,
      href: to(at),
    };
  };
  const rows = (/** @type {Step[]} */ list) => h("div", { class: "step-rows" }, keyRows(list.map(row)));
  const past = steps.filter((_, i) => done[i]);
  const open = steps.filter((_, i) => !done[i]);
  const groups = [
    { title: SAID.before, list: open.filter((step) => !step.side && !LAST.includes(step.key)) },
    { title: SAID.left, list: open.filter((step) => step.side === "left") },
    { title: SAID.right, list: open.filter((step) => step.side === "right") },
    { title: SAID.after, list: open.filter((step) => !step.side && LAST.includes(step.key)) },
  ].filter(({ list }) => list.length);
  const on = open.length
    ? { words: SAID.on, small: steps[next].name, heard: `${SAID.on}: ${steps[next].name}`, href: to(next) }
    : moveOf(ctx.sheet, number)
      ? { words: SAID.check, href: ctx.href({ words: ["ground", String(number)] }) }
      : { words: SAID.plan, href: ctx.href({ words: ["plan"] }) };
  const page = shell({
    kind: "page",
    title,
    front: [
      meanwhile(ctx),
      h("p", { class: "foot-note", text: `Predicted: ${promisedWords(plan)}; ${inHundred(plan.odds)}.` }),
      past.length ? fold({ title: SAID.done(past.length) }, rows(past)) : null,
    ],
    body: [
      ...groups.map((group) => h("section", { class: "step-group" }, h("h2", { text: group.title }), rows(group.list))),
      inDegrees(plan) ? h("p", { class: "foot-note", text: SAID.rest }) : null,
    ],
    quiet: { words: SAID.back, href: ctx.href({ words: ["plan"] }) },
    main: on,
  });
  return { title, node: page.node };
}
