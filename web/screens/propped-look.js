/* The last look at the plan before a tooth of a side is turned: asks the model with what the free arm has shown, says
   whether the plan stays, and writes the plan that is judged once the key that goes on is tapped. */

import { h, say } from "../parts/dom.js";
import { plate } from "../parts/plate.js";
import { rack } from "../parts/rack.js";
import { speak } from "../parts/speak.js";
import { keptRequest, lookBody, looked, lookRequest } from "../work/look.js";
import { inDegrees } from "../work/sheet.js";
import { counted } from "../work/teardown-steps.js";
import { lookTaken } from "../work/teardown-work.js";

/** @import { Side } from "../types/sheet.d.ts" */
/** @import { SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {import("./propped.js").Given} Given */
/** @typedef {import("./propped.js").Part} Part */

const SAID = {
  looking: "Working it out…",
  wait: "With what the free arm has shown.",
  stays: "Keep the plan",
  changes: "Take this plan",
  counted: "Take this plan",
  leave: "Turn nothing",
  plan: "To the plan",
  retry: "Try again",
  failed: "The plan cannot be worked out now",
  uncounted: "Count the teeth first",
  uncountedText: "No tooth is turned before both ends are counted.",
  keep: "Go on by the plan as it was",
  keepText: "Nothing of this look is taken over.",
  chance: "such cars are on target first time",
};

/** What the look came to, drawn. @param {import("../work/look.js").Look} look */
function verdictOf(look) {
  const wrong = look.state === "doubt" || look.state === "forbidden";
  const text = look.lines.map((line) => h("p", { text: line }));
  const chance = look.chance
    ? h("p", { class: "chance-line" }, h("b", { text: look.chance }), " ", h("span", { text: SAID.chance }))
    : null;
  return [
    plate({ good: !wrong, title: look.title, text: text.length ? text : undefined }),
    chance,
    look.option ? rack({ chance: look.option.odds, heard: false }).node : null,
  ].filter(Boolean);
}

/** The look. @param {Given} given @returns {Part} */
export function lookPart(given) {
  const { ctx, plan, step, finish, show, next } = given;
  const room = h("div", { class: "verdict-room", role: "status" }, h("p", { class: "then", text: SAID.wait }));
  const keep = { value: "keep", label: SAID.keep, text: SAID.keepText, act: finish };
  const toPlan = { words: SAID.plan, ontap: () => ctx.go({ words: ["plan"] }) };
  const more = inDegrees(plan) ? [] : [keep];
  if (!counted(ctx.sheet) && inDegrees(plan)) {
    room.replaceChildren(plate({ good: false, title: SAID.uncounted, text: SAID.uncountedText }));
    return { body: [room], picture: null, main: toPlan, more };
  }
  const work = async () => {
    show({ words: SAID.looking, off: true });
    const { request } = ctx.request;
    try {
      const { answer } = await ctx.model.askForPlan(lookRequest(request, ctx.sheet, plan));
      const ask = keptRequest(request, ctx.sheet, plan);
      const kept = ask ? (await ctx.model.askForPlan(ask)).answer : null;
      if (room.isConnected) told(answer, kept, request.target);
    } catch (/** @type {any} */ problem) {
      if (!room.isConnected) return;
      room.replaceChildren(plate({ good: false, title: SAID.failed, text: problem.detail ?? String(problem.message) }));
      show({ words: SAID.retry, ontap: work });
    }
  };
  /** @param {SolveAnswer} answer @param {any} kept @param {any} target */
  function told(answer, kept, target) {
    const side = /** @type {Side} */ (step.side);
    const look = looked({ answer, kept, sheet: ctx.sheet, plan, side });
    room.dataset.state = look.state;
    room.replaceChildren(.../** @type {Node[]} */ (verdictOf(look)));
    const heard = [`${look.title}.`, ...look.lines, look.chance].join(" ");
    say(heard);
    speak(heard);
    if (look.state === "doubt" || look.state === "forbidden") return show(toPlan);
    const take = async () => {
      const body = lookBody({ answer, look, sheet: ctx.sheet, plan, target });
      return (await lookTaken(ctx, plan, step, body)) && next();
    };
    return show({ words: SAID[look.state], ontap: take });
  }
  queueMicrotask(work);
  return { body: [room], picture: null, main: { words: SAID.looking, off: true }, more };
}
