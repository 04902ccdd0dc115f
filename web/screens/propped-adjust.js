/* The step that turns an adjuster: how far, by the plan or a part of it first; done by one tap, or another amount
   entered. */

import { h } from "../parts/dom.js";
import { turnWords } from "../work/adjuster.js";
import { titled } from "../work/sentence.js";
import { adjustAll } from "../work/teardown-work.js";
import { inAllWords, leftWords } from "../work/turn-facts.js";

/** @typedef {import("./propped.js").Given} Given */
/** @typedef {import("./propped.js").Part} Part */

const SAID = {
  next: "Next",
  done: "Turned",
  other: "Turned another amount",
  otherText: "Enter what was turned",
  all: "All of it was turned",
  change: "Change what was entered",
};

/** The way to entering another amount and back. @param {Given} given */
function enter({ ctx, plan, step, from }) {
  const move = ctx.sheet.moves.find((row) => row.teardown === plan.teardown);
  const only = step.side ?? "";
  const [lt, rt] = [plan.left, plan.right].map((side) => side.turns ?? 0);
  return ctx.go({ words: ["move"], query: { ...(move ? { entry: move.id } : {}), lt, rt, only, from } });
}

/** The step. @param {Given} given @returns {Part} */
export function adjustPart(given) {
  const { ctx, plan, step, done, next, finish } = given;
  const { kind, turns, planned } = /** @type {import("../work/adjust-steps.js").Adjust} */ (step.adjust);
  const other = {
    value: "other",
    label: done ? SAID.change : SAID.other,
    text: SAID.otherText,
    act: () => enter(given),
  };
  const left = turns === planned && step.side ? leftWords(plan[step.side], kind) : "";
  const body = [
    turns === planned ? null : h("p", { class: "then", text: inAllWords(planned, kind) }),
    left ? h("p", { class: "then", text: `${left}.` }) : null,
  ];
  if (done) return { body, main: { words: SAID.next, ontap: next }, more: [other] };
  const all = {
    value: "all",
    label: SAID.all,
    text: titled(turnWords(planned, kind)),
    act: async () => (await adjustAll(ctx, plan, step)) && next(),
  };
  return { body, main: { words: SAID.done, ontap: finish }, more: turns === planned ? [other] : [all, other] };
}
