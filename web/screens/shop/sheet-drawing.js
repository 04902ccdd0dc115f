/* The rear of the car from behind, heights to scale: the line of the body as found and as handed over. Widths are not to scale. */

import { s } from "../../parts/dom.js";
import { plain } from "../../work/numbers.js";
import { inches, inchText, length } from "../../work/units.js";

/** Paper millimetres for one millimetre of height. */
const SCALE = 0.2;
const WIDE = 116;
const LEFT = 34;
const RIGHT = 82;
const GROUND = 3;

/** An SVG of `before` and `after` {left_mm, right_mm}, either of which may be null; null where there is nothing to draw. */
export function drawing(before, after) {
  const whole = (pair) => pair && pair.left_mm != null && pair.right_mm != null;
  const drawn = [["before", before], ["after", after]].filter(([, pair]) => whole(pair)); // prettier-ignore
  if (!drawn.length) return null;
  const top = Math.max(...drawn.flatMap(([, { left_mm, right_mm }]) => [left_mm, right_mm])) * SCALE;
  const high = top + 10 + GROUND;
  const y = (mm) => high - GROUND - mm * SCALE;
  const line = ([name, { left_mm, right_mm }]) => {
    // The body's line goes on beyond both marks, so that a lean is seen.
    const slope = (right_mm - left_mm) / (RIGHT - LEFT);
    const at = (x) => y(left_mm + slope * (x - LEFT));
    return s("path", { class: `body-line ${name}`, d: `M${LEFT - 6} ${at(LEFT - 6)} L${RIGHT + 6} ${at(RIGHT + 6)}` });
  };
  const [name, last] = drawn.at(-1);
  const post = (x, mm, side) => [
    s("path", { class: "post", d: `M${x} ${y(0)} V${y(mm)}` }),
    s("path", { class: "post", d: `M${x - 1} ${y(0) - 2} L${x} ${y(0)} L${x + 1} ${y(0) - 2} M${x - 1} ${y(mm) + 2} L${x} ${y(mm)} L${x + 1} ${y(mm) + 2}` }),
    (inches() ? [`${inchText(mm)} in`, `${plain(mm, 0)} mm`] : [length(mm)]).map((text, i) => s("text", { x: side === "left" ? x - 8 : x + 8, y: y(mm / 2) + 5 * i, "text-anchor": side === "left" ? "end" : "start", text })),
  ]; // prettier-ignore
  const wheel = (x) =>
    s("rect", { class: "tyre", x: x - 3, y: y(0) - top * 0.86, width: 6, height: top * 0.86, rx: 2 });
  const words = drawn
    .map(
      ([when, { left_mm, right_mm }]) =>
        `${when === "before" ? "as found" : "now"}: left ${length(left_mm)}, right ${length(right_mm)}`,
    )
    .join("; ");
  return s(
    "svg",
    {
      class: "heights-drawing",
      viewBox: `0 0 ${WIDE} ${high}`,
      role: "img",
      "aria-label": `The rear of the car from behind, heights to scale, ${words}`,
    },
    s("path", { class: "ground", d: `M4 ${y(0)} H${WIDE - 4}` }),
    wheel(LEFT + 8),
    wheel(RIGHT - 8),
    drawn.map(line),
    post(LEFT, last.left_mm, "left"),
    post(RIGHT, last.right_mm, "right"),
    s("text", {
      class: "small",
      x: WIDE / 2,
      y: 5,
      "text-anchor": "middle",
      text: `heights to scale; ${drawn.length > 1 ? "solid: now; dashed: as found" : name === "after" ? "as it stands now" : "as found"}`,
    }),
  );
}
