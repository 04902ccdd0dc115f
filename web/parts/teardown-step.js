/* The inside of one step of a teardown: what to do, the caution that bites, what it takes, the teeth, the reading and its
   verdict. The list and the propped view both show it, each in its own size. */

import { dial } from "./dial.js";
import { h, s, say } from "./dom.js";
import { angle, plain } from "../work/numbers.js";
import { liftWords } from "../work/lift.js";
import { strikeRead } from "../work/teardown-work.js";
import { expected, readIn, verdict } from "../work/teardown-verdict.js";
import { readRoute, startOf } from "../work/guide.js";
import { valueOf } from "../work/readings.js";

const sign = () =>
  s(
    "svg",
    { class: "sign", viewBox: "0 0 32 32", "aria-hidden": "true" },
    s("path", { d: "M16 3 L30 28 H2 Z" }),
    s("path", { class: "bang", d: "M16 11 V19 M16 23 V24.5" }),
  );

/** The caution of a step. */
export const cautionOf = (step) =>
  step.caution
    ? h(
        "p",
        { class: "bite" },
        sign(),
        h("span", null, h("strong", { class: "unseen", text: "Caution: " }), step.caution),
      )
    : null;

/** What the arm takes to lift or holds when let down; `down` when it is let down. */
export function liftOf(step) {
  if (!step.lift) return null;
  const words = liftWords(step.lifts);
  const down = step.lift === "lift_now";
  if (!words)
    return h("p", {
      class: "force",
      text: down
        ? "By the readings the bar is slack here. Treat it as wound all the same."
        : "By the plan the arm hangs at or above its stop: nothing to lift.",
    });
  return h(
    "p",
    { class: "force" },
    h("strong", { text: words.force }),
    ` at the wheel end, ${words.kilograms}. ${words.torque}. Wound up: ${words.fall}.${step.lifts.assumed ? " A range, for not all of it was measured: be ready for the most." : ""}`,
  );
}

/** The teeth to turn, with the arrow as seen kneeling at that wheel. */
export function turnOf(step, bar) {
  if (!step.turn) return null;
  return h(
    "div",
    { class: `turning ${step.side}` },
    dial({ side: step.side, end: step.turn.end, teeth: step.turn.teeth, of: bar?.[`${step.turn.end}_teeth`] }),
    h("p", { class: "seen", text: `As seen at the ${step.side} wheel.` }),
  );
}

/** Where the reading of a side is typed; `from` is the screen to come back to. */
export function readHref(ctx, plan, side, from) {
  const route = readRoute({ what: "hanging-angle", side, teardown: plan.teardown });
  return ctx.href({ ...route, query: { ...route.query, from } });
}

/** Where the teeth are counted: the way to their questions, then back to the plan. */
export const countOf = (ctx, step) =>
  step.count
    ? h("a", { class: "key main wide", href: ctx.href(startOf({ what: "tooth-count" })) }, "Enter the tooth counts")
    : null;

/** What the gauge will read. */
export function expectation(plan, side) {
  const { arm, sd } = expected(plan, side);
  return h(
    "p",
    { class: "force" },
    "It should hang at ",
    h("strong", { text: angle(arm) }),
    ` ± ${plain(sd, 1)}° to the body: add what the gauge reads on the datum.`,
  );
}

/**
 * The reading step: what to expect, what was read, the verdict as soon as it is there. `again()` draws the screen anew;
 * `onverdict(found)` hears it.
 */
export function readingOf(ctx, plan, step, { from, again, onverdict = () => {} }) {
  const { side } = step;
  const list = readIn(ctx.sheet, plan, side);
  const place = h("div", { class: "verdict", role: "status" });
  const node = h(
    "div",
    { class: "reads" },
    list.length ? null : expectation(plan, side),
    list.length ? h("p", { class: "got", text: `Read: ${list.map(valueOf).join("; ")}.` }) : null,
    place,
  );
  const key = (label, onclick, main) =>
    h("button", { type: "button", class: main ? "key main" : "key", onclick }, label);
  const redo = async () =>
    (await strikeRead(ctx, plan, side)) &&
    ctx.go({
      ...readRoute({ what: "hanging-angle", side, teardown: plan.teardown }),
      query: { after: plan.teardown, from },
    });
  const show = (found) => {
    onverdict(found);
    if (found.state === "none" || !place.isConnected) return;
    place.classList.add(found.state);
    const wrong = ["tooth", "slip", "off"].includes(found.state);
    place.replaceChildren(
      h("p", { class: "word" }, h("strong", { text: found.title })),
      h("p", { text: found.text }),
      ...(found.remedy ? [h("p", { text: found.remedy })] : []),
      ...(wrong
        ? [h(
            "div",
            { class: "keys" },
            key("Read again", redo, true),
            ...(found.fix ? [key(found.take, async () => (await ctx.save(found.fix, { said: "what was found" })) && again())] : []),
          )]
        : []),
    ); // prettier-ignore
    say(`${found.title}. ${found.text} ${found.remedy ?? ""}`);
  };
  if (list.length) {
    place.append(h("p", { text: "Checking it against the rest" }));
    verdict(ctx, plan, side).then(show);
  } else onverdict({ state: "none" });
  return node;
}

/** What is shown where no plan was chosen yet. */
export const noPlan = (ctx, title) => ({
  title,
  node: h(
    "div",
    { class: "work" },
    h("h1", { text: title }),
    h("p", { text: "No plan has been chosen for it yet." }),
    h("a", { class: "key main wide", href: ctx.href({ words: ["plan"] }) }, "To the plan"),
  ),
});
