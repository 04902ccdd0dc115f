/* The car from above with the two wheels whose load together is the cross-weight: right front and left rear. */

import { path, Sheet } from "./pen.js";
import { s } from "../dom.js";

const WIDE = 388;
const HIGH = 230;
const LEFT = 118;
const RIGHT = 270;
const FRONT = 62;
const REAR = 172;
const WHEEL = { wide: 26, high: 50 };

/** @param {string} cls @param {number} x @param {number} y */
const wheel = (cls, x, y) =>
  s("rect", {
    class: cls,
    x: x - WHEEL.wide / 2,
    y: y - WHEEL.high / 2,
    width: WHEEL.wide,
    height: WHEEL.high,
    rx: 8,
  });

/** The drawing, 388 by 230 units. @param {{ label: string }} about @returns {HTMLElement} */
export function crossView({ label }) {
  const sheet = new Sheet({ wide: WIDE, high: HIGH, label, cls: "cross" });
  sheet.add(
    path("panel", `M148 18 Q194 -2 240 18 V214 Q194 226 148 214 Z`),
    path("found", `M${LEFT} ${FRONT} L${RIGHT} ${REAR}`),
    path("solid", `M${RIGHT} ${FRONT} L${LEFT} ${REAR}`),
    wheel("wheel-behind", LEFT, FRONT),
    wheel("wheel-behind", RIGHT, REAR),
    wheel("instrument", RIGHT, FRONT),
    wheel("instrument", LEFT, REAR),
    path("front", "M194 8 L185 24 H203 Z"),
  );
  sheet.word(194, 46, "front", { anchor: "middle", cls: "word soft" });
  sheet.word(RIGHT + 22, FRONT + 8, "RF", { cls: "figure" });
  sheet.word(LEFT - 22, REAR + 8, "LR", { anchor: "end", cls: "figure" });
  return sheet.done();
}
