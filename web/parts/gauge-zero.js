/* The question how the angle gauge is used, wherever it is asked: zeroed on the body, the body read too, or
   against gravity alone. Writes one step of the log; readings carry it themselves. */

import { seenOf } from "../work/adjuster.js";
import { zeroItem, zeroOf } from "../work/flow.js";
import { choice } from "./choice.js";
import { angleReading } from "./draw/angle.js";
import { rowLabel } from "./plate.js";
import { shell } from "./shell.js";

/** @type {Record<string, any>} */
const WORDS = {
  title: "How do you use the gauge?",
  how: "The body is the straight lower edge of the door sill. The arm’s angle counts against it.",
  across: "The body is the cross member under both arms’ pivots. The arm’s angle across the car counts against it.",
  body: ["Zeroed on the body", "Lay it under the sill, press zero. Then one figure each."],
  crossMember: ["Zeroed on the body", "Lay it under the cross member, press zero. Then one figure each."],
  datum: ["Body, then arm", "It has no zero key: read the body first, then the arm."],
  gravity: ["Arm only", "No straight edge to lay it on. Only the left–right difference is used."],
  said: "how the gauge is used",
  picture: { sill: "Gauge laid under the sill.", cross: "Gauge laid under the cross member." },
};
/** What each is called in a sentence: the key that changes it says so. */
/** @type {Record<string, string>} */
export const ZERO_WORDS = { body: "zeroed on body", datum: "body, then arm", gravity: "arm only" };

/**
 * The question, wherever it is asked.
 * @param {any} ctx
 * @param {{chosen: string | null, side?: "left" | "right", done: () => void, quiet: any, small?: string, run?:
 *   Element | null}} how
 * @returns {{title: string, node: Element, fresh: () => void}}
 */
export function zeroScreen(ctx, { chosen, side = "left", done, quiet, small, run = null }) {
  let now = chosen ?? "body";
  const seen = seenOf(ctx.sheet.car);
  const across = seen === "across";
  const words = (/** @type {string} */ value) => WORDS[across && value === "body" ? "crossMember" : value];
  const rows = choice({
    name: "zero",
    legend: WORDS.title,
    cls: "rows",
    chosen: now,
    options: ["body", "datum", "gravity"].map((value) => ({
      value,
      label: rowLabel({ words: words(value)[0], small: words(value)[1] }),
    })),
    onchoose: (/** @type {string} */ value) => (now = value),
  });
  const next = async () => {
    if (now !== zeroOf(ctx.sheet) && !(await ctx.save([zeroItem(now)], { said: WORDS.said }))) return;
    done();
  };
  const page = shell({
    title: WORDS.title,
    how: across ? WORDS.across : WORDS.how,
    run,
    picture: angleReading({
      side,
      seen,
      on: "body",
      pose: "riding",
      label: across ? WORDS.picture.cross : WORDS.picture.sill,
    }),
    body: [rows],
    quiet,
    main: { words: "Next", small, ontap: next },
  });
  return { title: WORDS.title, fresh() {}, node: page.node };
}
