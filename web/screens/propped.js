/* One step of a teardown in type that reads from a metre: the phone leans on the stand, the screen stays on, a tap
   anywhere ticks the step and goes on. Back looks at the step before; Undo takes the last tick back. */

import { stayAwake } from "../parts/awake.js";
import { h } from "../parts/dom.js";
import { canSpeak, hush, setSpeaking, speak, speaking } from "../parts/speak.js";
import { liftWords } from "../work/lift.js";
import { cautionOf, countOf, liftOf, noPlan, readingOf, turnOf } from "../parts/teardown-step.js";
import { isDone, stepsOf, teardownAt } from "../work/teardown-steps.js";
import { readIn } from "../work/teardown-verdict.js";
import { tick, untick } from "../work/teardown-work.js";
import { inDegrees } from "../work/sheet.js";

/** A step as it is read aloud. */
function aloud(step) {
  const words = liftWords(step.lifts);
  return [
    step.side ? `${step.side} side.` : "",
    `${step.name}.`,
    step.text ?? "",
    words ? `${words.force}, ${words.kilograms}.` : "",
    step.caution ? `Caution: ${step.caution}` : "",
  ]
    .filter(Boolean)
    .join(" ")
    .replaceAll(" N,", " newtons,");
}

/** The screen. */
export function propped(ctx) {
  const found = teardownAt(ctx);
  if (!found) return noPlan(ctx, "Teardown");
  const { number, plan } = found;
  const all = stepsOf(plan);
  const done = (step) => isDone(ctx.sheet, number, step);
  const first = all.findIndex((step) => !done(step));
  const end = first < 0 ? all.length : first;
  const here = Math.min(all.length, ctx.query.at === undefined ? end : Number(ctx.query.at));
  const step = all[here];
  const to = (at) =>
    ctx.go({ words: ["propped", String(number)], query: at === undefined ? {} : { at } }, { replace: true });
  if (!step) {
    const node = h(
      "div",
      { class: "propped" },
      h(
        "div",
        { class: "big" },
        h("h1", { text: "All steps done" }),
        h("p", {
          text: inDegrees(plan)
            ? "Nothing is turned yet. Plan again with the teeth counted."
            : "Now roll the car, bounce it, and read it on the ground.",
        }),
      ),
      h(
        "div",
        { class: "hands" },
        inDegrees(plan)
          ? h("a", { class: "key main", href: ctx.href({ words: ["plan"] }) }, "To the plan")
          : h("a", { class: "key main", href: ctx.href({ words: ["ground", String(number)] }) }, "On the ground"),
        h("button", { type: "button", class: "key", onclick: () => to(all.length - 1) }, "Back"),
        h("a", { class: "key", href: ctx.href({ words: ["teardown", String(number)] }) }, "All steps"),
      ),
    );
    return { title: `Teardown ${number}`, node };
  }

  const read = step.read && readIn(ctx.sheet, plan, step.side).length > 0;
  let state = "none";
  const wrong = () => ["tooth", "slip", "off"].includes(state);
  /** What a tap does: read what is to be read, settle what is wrong, else tick and go on. */
  const on = async () => {
    if (step.read && !read && !done(step))
      return ctx.go({ words: ["read", "hanging-angle", step.side], query: { after: number, from: "propped" } });
    if (wrong()) return undefined;
    if (!done(step) && !(await tick(ctx, plan, step))) return undefined;
    return to(here + 1 >= end ? undefined : here + 1);
  };
  const last = all.findLast(done);
  const undo = async () => (await untick(ctx, plan, last)) && to(all.indexOf(last));
  const voice = h("button", { type: "button", class: "key", "aria-pressed": String(speaking()), onclick: () => {
    setSpeaking(!speaking());
    voice.setAttribute("aria-pressed", String(speaking()));
    voice.textContent = speaking() ? "Voice on" : "Voice off";
    speak(aloud(step));
  } }, speaking() ? "Voice on" : "Voice off"); // prettier-ignore
  const go = h(
    "button",
    { type: "button", class: "key main go", onclick: on },
    step.read && !read ? "Read it" : done(step) ? "Next" : "Done, next",
  );
  const node = h(
    "div",
    {
      class: "propped",
      // Anywhere but on a key; a finger that scrolls or marks text is no tap.
      onclick: (event) => !event.target.closest("a, button, summary") && !String(getSelection()) && on(),
    },
    h(
      "div",
      { class: "big" },
      h(
        "p",
        { class: "which" },
        step.side
          ? h("span", { class: `side-name ${step.side}`, text: `${step.side === "left" ? "Left" : "Right"} side` })
          : "The car",
        h("span", { class: "count", text: `${here + 1} of ${all.length}${done(step) ? ", done" : ""}` }),
      ),
      h("h1", { text: step.name }),
      turnOf(step, ctx.sheet.car.bar),
      // The caution goes before the words: on a small phone it is the words that may need a scroll.
      cautionOf(step),
      liftOf(step),
      step.text && !read ? h("p", { text: step.text }) : null,
      countOf(ctx, step),
      step.read
        ? readingOf(ctx, plan, step, {
            from: "propped",
            again: () => to(here),
            onverdict: (found) => {
              state = found.state;
              go.classList.toggle("away", wrong());
              if (found.title) speak(`${found.title}. ${found.text} ${found.remedy ?? ""}`);
            },
          })
        : null,
    ),
    h(
      "div",
      { class: "hands" },
      go,
      h("button", { type: "button", class: "key", disabled: here === 0, onclick: () => to(here - 1) }, "Back"),
      h(
        "button",
        {
          type: "button",
          class: "key",
          disabled: !last,
          onclick: undo,
          "aria-label": last ? `Undo: ${last.name}` : "Undo",
        },
        "Undo",
      ),
      canSpeak() ? voice : null,
      h("a", { class: "key", href: ctx.href({ words: ["teardown", String(number)] }) }, "All steps"),
    ),
    stayAwake(),
  );
  ctx.whileShown?.(hush);
  speak(aloud(step));
  return { title: `Teardown ${number}: ${step.name}`, focus: go, node };
}
