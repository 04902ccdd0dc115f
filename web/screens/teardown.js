/* A teardown, step by step: every step a line to open, the next one open, each ticked in the log as it is done.

   Owns the list; the steps are work/teardown-steps.js, what one shows is parts/teardown-step.js. */

import { h } from "../parts/dom.js";
import { inHundred, turns } from "../work/numbers.js";
import { promisedWords } from "../work/promise.js";
import { cautionOf, countOf, liftOf, noPlan, readHref, readingOf, turnOf } from "../parts/teardown-step.js";
import { SIDES, isDone, stepsOf, teardownAt } from "../work/teardown-steps.js";
import { readIn } from "../work/teardown-verdict.js";
import { tick, untick } from "../work/teardown-work.js";
import { inDegrees } from "../work/sheet.js";

const promise = (plan) =>
  h("p", {
    class: "where",
    text: `Promised: ${promisedWords(plan)}, ${inHundred(plan.odds)}.${inDegrees(plan) ? ` By degrees: left ${turns(plan.left)}, right ${turns(plan.right)}; the whole teeth follow once both ends are counted.` : ""}`,
  });

function card(ctx, plan, step, open, again) {
  const done = isDone(ctx.sheet, plan.teardown, step);
  const read = step.read && readIn(ctx.sheet, plan, step.side).length > 0;
  const mark = h(
    "button",
    {
      type: "button",
      class: done || (step.read && !read) ? "key wide" : "key main wide",
      onclick: () => set(done ? untick : tick),
    },
    done ? "Not done after all" : step.read && !read ? "Go on without reading" : "Done",
  );
  const more = step.read
    ? h(
        "a",
        { class: read ? "key wide" : "key main wide", href: readHref(ctx, plan, step.side, "teardown") },
        read ? "Read once more" : "Enter what it reads",
      )
    : null;
  // What the verdict offers comes first while the reading is in doubt.
  const onverdict = ({ state }) => {
    const wrong = ["tooth", "slip", "off"].includes(state);
    mark.classList.toggle("main", !done && (state === "right" || state === "open"));
    more.classList.toggle("away", wrong);
    if (wrong && !done) mark.textContent = "Go on all the same";
  };
  const set = async (work) => (await work(ctx, plan, step)) && again();
  const details = h(
    "details",
    {
      class: `step${done ? " done" : ""}${open ? " now" : ""}`,
      open,
      "data-step": [step.side, step.key].filter(Boolean).join("/"),
    },
    h(
      "summary",
      null,
      h("span", { class: "tick", "aria-hidden": "true", text: done ? "✓" : "" }),
      h("span", { text: step.name }),
      done ? h("span", { class: "unseen", text: ", done" }) : null,
    ),
    h(
      "div",
      { class: "inside" },
      turnOf(step, ctx.sheet.car.bar),
      step.text ? h("p", { text: step.text }) : null,
      liftOf(step),
      cautionOf(step),
      step.read ? readingOf(ctx, plan, step, { from: "teardown", again, onverdict }) : null,
      countOf(ctx, step),
      more,
      mark,
    ),
  );
  return h("li", null, details);
}

/** The screen. */
export function teardown(ctx) {
  const found = teardownAt(ctx);
  if (!found) return noPlan(ctx, "Teardown");
  const { number, plan } = found;
  const all = stepsOf(plan);
  const next = all.find((step) => !isDone(ctx.sheet, number, step));
  const again = () => {
    ctx.go({ words: ["teardown", String(number)] }, { replace: true });
    document.querySelector(".step.now")?.scrollIntoView({ block: "center" });
  };
  const group = (title, side) => {
    const mine = all.filter((step) => step.side === side);
    return { title, side, mine };
  };
  const before = all.filter((step) => step.side === null && step.key !== "down" && !step.count);
  const groups = [
    { title: "Before anything is loosened", side: null, mine: before },
    ...SIDES.map((side) => group(null, side)).filter(({ mine }) => mine.length),
    { title: "When both sides are together", side: null, mine: all.filter((step) => step.key === "down") },
    { title: "Before a tooth is turned", side: null, mine: all.filter((step) => step.count) },
  ].filter(({ mine }) => mine.length);
  const node = h(
    "div",
    { class: "work" },
    h("h1", { text: `Teardown ${number}` }),
    promise(plan),
    next
      ? h(
          "a",
          { class: "key main wide", href: ctx.href({ words: ["propped", String(number)] }) },
          "Propped view: one step, huge",
        )
      : inDegrees(plan)
        ? h("a", { class: "key main wide", href: ctx.href({ words: ["plan"] }) }, "Plan again, in teeth")
        : h(
            "a",
            { class: "key main wide", href: ctx.href({ words: ["ground", String(number)] }) },
            "On the ground: settle and read",
          ),
    ...groups.map(({ title, side, mine }) =>
      h(
        "section",
        side ? { class: side } : null,
        h("h2", null, side ? [h("span", { class: `side-name ${side}`, text: side }), " side"] : title),
        h(
          "ol",
          { class: "steps" },
          mine.map((step) => card(ctx, plan, step, step === next, again)),
        ),
      ),
    ),
    next ? null : h("p", { text: "Every step is ticked." }),
  );
  return { title: `Teardown ${number}`, focus: node.querySelector(".step.now summary"), node };
}
