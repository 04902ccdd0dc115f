/* Signs for the kinds of target, of the size of two lines of text, in the colour of the words beside them: the car
   from behind, dashed as it stands, thick as it is to stand; or the arm at an angle. */

import { path } from "./pen.js";
import { rearSign } from "./rear.js";
import { s } from "../dom.js";

/** @typedef {"raise" | "lower" | "level" | "higher" | "mean" | "lower-side" | "height" | "angle" | "cross"} Target */

/* Heights in the sign's own units; only their order is meant. */
const LEANING = { left: 0, right: 20 };

/** @type {Record<Exclude<Target, "angle" | "cross">, Parameters<typeof rearSign>[0]>} */
const DRAWN = {
  raise: { found: { left: 0, right: 0 }, now: { left: 20, right: 20 } },
  lower: { found: { left: 20, right: 20 }, now: { left: 0, right: 0 } },
  level: { found: LEANING, now: { left: 20, right: 20 } },
  higher: { found: LEANING, now: { left: 20, right: 20 } },
  mean: { found: LEANING, now: { left: 10, right: 10 } },
  "lower-side": { found: LEANING, now: { left: 0, right: 0 } },
  height: {
    found: { left: 0, right: 8 },
    now: { left: 20, right: 20 },
    target: { left: 20, right: 20, tolerance: 6 },
  },
};

/** Four wheels from above, right front and left rear joined. */
const crossSign = () =>
  s(
    "svg",
    { viewBox: "0 0 76 44", class: "sign", "aria-hidden": "true" },
    path("thin", "M28 4 H48 V40 H28 Z"),
    path("dashed", "M20 10 L56 34"),
    path("mid", "M56 10 L20 34"),
    path("thick", "M56 4 V16 M20 28 V40"),
    path("thin", "M20 4 V16 M56 28 V40"),
  );

/** The sign of a kind of target, hidden from those who listen: its key has words. "level" is to the higher side, as
 * are "higher", "mean" and "lower-side" of the choice after it.
 * @param {Target} target @returns {SVGElement} */
export function targetSign(target) {
  if (target === "cross") return crossSign();
  if (target !== "angle") return rearSign(DRAWN[target]);
  return s(
    "svg",
    { viewBox: "0 0 76 44", class: "sign", "aria-hidden": "true" },
    s("circle", { class: "thick", cx: 14, cy: 12, r: 8 }),
    path("thick", "M21 16 L64 37"),
    path("dashed", "M27 12 H70"),
    path("mid", "M54 15 Q56 21 52 27"),
  );
}
