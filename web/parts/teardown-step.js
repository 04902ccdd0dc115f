/* What one step of a teardown shows: its warnings with their figures, its picture, what the arm takes to lift. The
   hands-free view and the list show them, each in its own size. */

import { adjusterPlace } from "./adjuster-place.js";
import { barPicture } from "./draw/bar.js";
import { stepPicture } from "./draw/steps.js";
import { turnPicture } from "./draw/turn.js";
import { angleReading } from "./draw/angle.js";
import { h } from "./dom.js";
import { warning } from "./warning.js";
import { seenOf } from "../work/adjuster.js";
import { liftWords } from "../work/lift.js";
import { way } from "../work/numbers.js";
import { ofAxle } from "../work/sentence.js";
import { cautionsOf } from "../work/teardown-cautions.js";
import { begunElsewhere } from "../work/walk.js";
import { otherAxle } from "../work/weighing.js";

/** @import { Context, JobContext } from "../types/context.d.ts" */
/** @import { BarBody, CarBody } from "../types/wire.d.ts" */
/** @import { Heading } from "./dom.js" */
/** @typedef {import("../work/teardown-steps.js").Step} Step */
/** @typedef {import("./draw/steps.js").Step} Drawn */

const BEGUN = {
  title: (/** @type {string} */ axle) => `The ${axle} is being worked on`,
  text: (/** @type {string} */ axle) =>
    `One axle at a time. Finish the ${axle} first, or go there and mark its steps as not done.`,
  on: "Go on",
};

/** The pictures of steps that are drawn; the others are words alone. @type {Record<string, Drawn>} */
const PICTURES = {
  stands: "stands",
  "wheels-hang": "stands",
  eyes: "eyes",
  "wheel-off": "wheel-off",
  "bolts-out": "bolts-out",
  "cover-off": "cover-off",
  "arm-down": "off-stop",
  "arm-up": "onto-stop",
  "cover-on": "cover-on",
  "bolts-in": "bolts-in",
  "wheel-on": "wheel-on",
  down: "down",
};
/** What is counted and measured of the bar, as parts/draw/bar.js draws it. @type {Record<string, "count" | "size">} */
const BAR = { count: "count", caliper: "size" };
/** A tooth where nobody has counted them, [deg]. */
const USUAL_TEETH = { inner: 40, outer: 44 };

/** The warnings of a step in one block, those of one signal word together; null where there are none.
 * @param {Step} step @param {Heading} [level] @returns {HTMLElement | null} */
export function cautionOf(step, level = "h2") {
  /** @type {Map<string, string[]>} */
  const by = new Map();
  for (const { word, text } of cautionsOf(step)) by.set(word, [...(by.get(word) ?? []), text]);
  if (!by.size) return null;
  const blocks = [...by].map(([signal, text]) => warning({ signal, text, level }));
  return blocks.length === 1 ? blocks[0] : h("div", { class: "warnings" }, blocks);
}

/** The turn of an end in degrees.
 * @param {{end: "inner" | "outer", teeth: number}} turn @param {BarBody | null} [bar] */
export const degreesOf = ({ end, teeth }, bar) => (360 * teeth) / (bar?.[`${end}_teeth`] ?? USUAL_TEETH[end]);

/** "as seen kneeling at the left wheel", "as seen from the front".
 * @param {CarBody} car @param {"left" | "right"} side */
export const seenWords = (car, side) =>
  seenOf(car) === "across" ? "as seen from the front" : `as seen kneeling at the ${side} wheel`;

/**
 * The teeth to turn, drawn as seen kneeling at that wheel, or from the front where the arms go across the car.
 * @param {Step} step
 * @param {CarBody} car as the sheet has it
 * @returns {HTMLElement | null}
 */
export function turnOf(step, car) {
  if (!step.turn || !step.side) return null;
  const { end, teeth } = step.turn;
  return turnPicture({
    side: step.side,
    end,
    way: teeth > 0 ? "down" : "up",
    teeth: Math.abs(teeth),
    deg: Math.abs(degreesOf(step.turn, car.bar)),
    wayWords: way(teeth),
    seen: seenOf(car),
    label: `${step.name}, ${seenWords(car, step.side)}`,
  });
}

/** The arm as it hangs, with the gauge on it; `deg` what it reads to the body, or should.
 * @param {Step} step @param {CarBody} car @param {{deg: number, figure: string} | null} [shown]
 * @returns {HTMLElement} */
export function hangingOf(step, car, shown = null) {
  const label = `${step.name}, ${step.side} side`;
  const view = angleReading({ side: step.side ?? "left", seen: seenOf(car), pose: "hanging", label });
  if (shown) view.move({ deg: shown.deg, figure: shown.figure, way: way(shown.deg) });
  return view;
}

/** The picture of a step; null where it has none.
 * @param {Step} step @param {CarBody} car as the sheet has it @returns {Node | null} */
export function pictureOf(step, car) {
  if (step.turn) return turnOf(step, car);
  const about = { side: step.side ?? "left", seen: seenOf(car), label: step.name };
  if (BAR[step.key]) return barPicture({ ...about, of: BAR[step.key] });
  if (step.drawn) return adjusterPlace({ side: step.side, of: step.drawn, car, label: step.name });
  const drawn = PICTURES[step.key];
  return drawn ? stepPicture({ ...about, step: drawn }) : null;
}

/** What the arm takes to lift, or holds when it is let down, in full; null where no lift is meant or nothing is known.
 * @param {Step} step @returns {HTMLElement | null} */
export function liftOf(step) {
  if (!step.lift || !step.lifts) return null;
  const words = liftWords(step.lifts);
  if (!words) return null;
  return h(
    "p",
    { class: "force" },
    h("strong", { text: words.force }),
    ` at the wheel end, ${words.kilograms}. ${words.torque}. Stored: ${words.fall}.`,
    step.lifts.assumed ? " Not all of it was measured: be ready for the most." : "",
  );
}

/** A step as it is read aloud. @param {Step} step @returns {string} */
export const aloud = (step) =>
  [
    step.side ? `${step.side} side.` : "",
    `${step.name}.`,
    step.text ?? "",
    ...cautionsOf(step).map(({ word, text }) => `${word[0]}${word.slice(1).toLowerCase()}. ${text}`),
  ]
    .filter(Boolean)
    .join(" ")
    .replaceAll(/(\d) N\b/g, "$1 newtons");

/** What is shown in place of a teardown that may not begin, since one of the other axle is under way; null where none
 * is, or this one was begun. @param {JobContext} ctx @param {boolean} begun @param {string} title */
export function waiting(ctx, begun, title) {
  const { there, sheet } = ctx;
  const other = otherAxle(sheet.car);
  const number = begun ? null : begunElsewhere(ctx);
  if (!number) return null;
  // The address of the other axle's steps, whichever of the two is the job's own.
  const href = `#/${[ctx.job, ...(there ? [] : ["axle"]), "propped", number].join("/")}`;
  return {
    title,
    node: h(
      "div",
      { class: "work" },
      h("h1", { text: BEGUN.title(other) }),
      h("p", { text: BEGUN.text(other) }),
      h("a", { class: "key main wide", href }, ofAxle(other, BEGUN.on)),
    ),
  };
}

/** What is shown where no plan was chosen yet. @param {Context} ctx @param {string} title */
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
