/* The bar seen from above: anchor near the middle of the car, splines at both ends, arm and wheel outside. One part
   is lit: the one the question on the screen is about. A plain function; nothing moves. */

import { s } from "./dom.js";

/**
 * @param {number} x
 * @param {string} cls
 */
function splines(x, cls) {
  const lines = [];
  for (let y = 62; y <= 96; y += 5) lines.push(s("line", { x1: x, y1: y, x2: x + 34, y2: y }));
  return s("g", { class: `splines ${cls}` }, s("rect", { x, y: 58, width: 34, height: 42, rx: 3 }), ...lines);
}

/**
 * @param {number} x
 * @param {number} y
 * @param {string} text
 */
const words = (x, y, text, anchor = "middle") => s("text", { x, y, "text-anchor": anchor, text });

/**
 * A drawing of the bar with `lit` one of: diameter, bore, length, inner, outer, none.
 * @param {string} lit
 * @param {string} caption
 */
export function barView(lit, caption) {
  const svg = s(
    "svg",
    { viewBox: "16 10 376 220", class: `bar-view lit-${lit}`, role: "img", "aria-label": caption },
    s("path", { class: "centre", d: "M30 14 V216" }),
    words(36, 216, "middle of the car", "start"),
    s("rect", { class: "anchor", x: 34, y: 44, width: 44, height: 70, rx: 4 }),
    s("rect", { class: "round", x: 78, y: 66, width: 200, height: 26 }),
    splines(44, "inner"),
    s("path", { class: "plate", d: "M278 48 H322 L330 190 H300 Z" }),
    splines(282, "outer"),
    s("rect", { class: "tyre", x: 334, y: 126, width: 44, height: 92, rx: 14 }),
    s(
      "g",
      { class: "dim length" },
      s("path", { d: "M78 128 V150 M278 128 V150 M82 140 H274 M92 134 L82 140 L92 146 M264 134 L274 140 L264 146" }),
      words(178, 164, "between the splines"),
    ),
    s(
      "g",
      { class: "dim diameter" },
      s("path", { d: "M150 40 V64 M143 56 L150 65 L157 56 M150 118 V94 M143 102 L150 93 L157 102" }),
      words(150, 34, "across the plain part"),
    ),
    s("g", { class: "dim inner" }, words(40, 34, "inner end", "start")),
    s("g", { class: "dim outer" }, words(302, 34, "outer end")),
    s(
      "g",
      { class: "dim bore" },
      s("circle", { class: "ring", cx: 214, cy: 178, r: 30 }),
      s("circle", { class: "hole", cx: 214, cy: 178, r: 13 }),
      words(214, 224, "bore"),
    ),
  );
  return svg;
}
