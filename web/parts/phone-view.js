/* The phone lying on an edge of the car, as seen kneeling at that wheel: which end its top points to, which face is
   seen, and what it lies on. A plain function. */

import { s } from "./dom.js";

const TILT = 9;

/**
 * The tail is to the right on the left side, to the left on the right.
 * @param {{ side: import("../types/sheet.d.ts").Side, on: "datum" | "arm", top: "tail" | "front", words: string }} of
 */
export function phoneView({ side, on, top, words }) {
  const tail = side === "right" ? -1 : 1;
  const ahead = (top === "tail" ? 1 : -1) * tail;
  const slope = on === "arm" ? TILT * tail : 0;
  const y = on === "arm" ? 132 : 60;
  const facing = top === "tail";
  // On the arm's upper edge it stands on top; under the sill it is held from below.
  const phoneY = on === "arm" ? y - 108 : y + 10;
  const end = 200 + ahead * 92;
  const shape =
    on === "arm"
      ? s("path", { class: "plate", d: `M60 ${y} H340 V${y + 26} H60 Z` })
      : s("path", { class: "panel", d: `M20 8 H380 V${y + 4} H20 Z` });
  return s(
    "svg",
    {
      viewBox: "0 0 400 190",
      role: "img",
      class: `phone-view ${side} ${on}`,
      "aria-label": words,
      "data-top": ahead > 0 ? "right" : "left",
      "data-face": facing ? "screen" : "back",
    },
    s(
      "g",
      { transform: `rotate(${slope} 200 ${y})` },
      shape,
      on === "datum" ? s("path", { class: "datum", d: `M20 ${y + 4} H380` }) : null,
      s("rect", { class: "handset", x: 100, y: phoneY, width: 200, height: 96, rx: 14 }),
      facing
        ? s("rect", { class: "glass", x: 112, y: phoneY + 9, width: 176, height: 78, rx: 5 })
        : s("circle", { class: "lens", cx: 200 + ahead * 72, cy: phoneY + 24, r: 10 }),
      s("path", { class: "tip", d: `M${end} ${phoneY + 22} V${phoneY + 74}` }),
      s("path", {
        class: "lead",
        d:
          `M${200 - ahead * 18} ${phoneY + 48} H${200 + ahead * 52} ` +
          `m${-ahead * 16} -12 l${ahead * 18} 12 l${-ahead * 18} 12`,
      }),
      s("text", { x: 200 - ahead * 52, y: phoneY + 56, "text-anchor": "middle", text: "top" }),
    ),
  );
}
