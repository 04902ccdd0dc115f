/* One splined end as someone kneeling at that wheel sees it: the ring of teeth, the arm pointing to the tail, and an
   arrow for the way to turn. Tail down is clockwise on the left side and anticlockwise on the right; both ends of a
   bar turn the same way for the same words. */

import { h, s } from "./dom.js";
import { teeth as words } from "../work/numbers.js";

/** @import { End, Side } from "../types/sheet.d.ts" */

/**
 * @param {number} radius
 * @param {number} deg
 */
const point = (radius, deg) => {
  const a = (deg * Math.PI) / 180;
  return `${(60 + radius * Math.cos(a)).toFixed(2)} ${(60 + radius * Math.sin(a)).toFixed(2)}`;
};

/**
 * The ring: one tooth per spline, drawn as dashes so that any count is exact.
 * @param {number} count
 */
function ring(count) {
  const length = 2 * Math.PI * 34;
  return s("circle", {
    class: "ring",
    cx: 60,
    cy: 60,
    r: 34,
    "stroke-dasharray": `${length / count / 2} ${length / count / 2}`,
  });
}

/**
 * An arrow from the arm's line round by a quarter turn and a bit; `down` turns the tail down.
 * @param {boolean} down
 */
function arrow(down) {
  const to = down ? 112 : -112;
  const near = down ? 96 : -96;
  return s(
    "g",
    { class: "turn" },
    s("path", { d: `M${point(48, down ? 16 : -16)} A48 48 0 0 ${down ? 1 : 0} ${point(48, near)}` }),
    s("path", { class: "head", d: `M${point(57, near)} L${point(48, to)} L${point(39, near)} Z` }),
  );
}

/** Teeth drawn where nobody has counted them. */
const USUAL_TEETH = 40;

/**
 * The dial of one end.
 * @param {{ side: Side, end: End, teeth: number, of?: number }} end
 */
export function dial({ side, end, teeth, of = USUAL_TEETH }) {
  const mirror = side === "right";
  const svg = s(
    "svg",
    {
      viewBox: "0 0 120 120",
      class: `dial ${end}`,
      "aria-hidden": "true",
      "data-side": side,
      "data-end": end,
      "data-teeth": teeth,
    },
    s(
      "g",
      { transform: mirror ? "translate(120 0) scale(-1 1)" : "translate(0 0)" },
      s("path", { class: "stub", d: "M60 52 H112 A8 8 0 0 1 112 68 H60 Z" }),
      ring(of),
      s("circle", { class: "face", cx: 60, cy: 60, r: 28 }),
      teeth ? arrow(teeth > 0) : null,
    ),
    s("text", { x: 60, y: 71, "text-anchor": "middle", text: String(Math.abs(teeth)) }),
  );
  return h(
    "figure",
    { class: teeth ? "end" : "end still" },
    svg,
    h("figcaption", null, h("span", { class: "which", text: `${end} end` }), " ", h("strong", { text: words(teeth) })),
  );
}
