/* The centre-jack test: how the other axle is carried on one block, and what can hurt somebody there. Leads on to the
   readings of that pose; writes nothing. */

import { running } from "../parts/chance-line.js";
import { centreView } from "../parts/draw/centre.js";
import { shell } from "../parts/shell.js";
import { warning } from "../parts/warning.js";
import { onward } from "../work/flow.js";
import { readRoute, series } from "../work/guide.js";
import { STEPS } from "../work/step-cautions.js";
import { otherAxle } from "../work/weighing.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */

const CAUTIONS = STEPS["centre-jack"];
const WORDS = {
  title: (/** @type {string} */ axle) => `${axle === "front" ? "Front" : "Rear"} axle on one block`,
  how: (/** @type {string} */ axle) =>
    `Lift the ${axle} axle by its middle: one round block, or a trolley jack with a round saddle, its wheels just ` +
    "clear of the floor. Rock the body until it finds its own lean. What is left is the lean of this axle’s own bars.",
};

/**
 * The screen: route words ["pose", "centre", "both"].
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function centre(ctx) {
  const axle = otherAxle(ctx.sheet.car);
  const [title, how] = [WORDS.title(axle), WORDS.how(axle)];
  const page = shell({
    title,
    how,
    run: running(ctx, { key: "centre-jack", side: "both" }),
    picture: centreView(title),
    warning: warning({ text: CAUTIONS.map((caution) => caution.text), signal: CAUTIONS[0].word }),
    quiet: { words: "Not now", ontap: () => ctx.go(onward(ctx.sheet, ctx.words, ctx.query)) },
    main: {
      words: "Next",
      small: "then ride height",
      ontap: () => ctx.go(readRoute({ ...series("centre")[0], series: "centre" })),
    },
  });
  return { title, focus: page.title, fresh() {}, node: page.node };
}
