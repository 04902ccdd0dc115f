/* Drawn signs of keys: one pen of 3 px, never a glyph of a font, so that they have one size on every phone. */

import { s } from "./dom.js";

/** @type {Record<string, {box: [number, number], path: string}>} */
const DRAWN = {
  back: { box: [28, 30], path: "M19 4L8 15L19 26" },
  delete: { box: [36, 28], path: "M12 3H33.5V25H12L2.5 14Z M18 9.5L27 18.5M27 9.5L18 18.5" },
  minus: { box: [30, 30], path: "M5 15H25" },
  plus: { box: [30, 30], path: "M5 15H25M15 5V25" },
  tick: { box: [44, 44], path: "M12 23L19 31L33 13" },
  cross: { box: [44, 44], path: "M13 13L31 31M31 13L13 31" },
};

/**
 * A sign by its name: back, delete, minus, plus, tick, cross.
 * @param {string} name
 * @param {{ring?: boolean}} [how] with a ring around it
 * @returns {SVGElement}
 */
export function icon(name, { ring = false } = {}) {
  const { box, path } = DRAWN[name];
  return s(
    "svg",
    {
      class: `icon icon-${name}`,
      viewBox: `0 0 ${box.join(" ")}`,
      width: box[0],
      height: box[1],
      "aria-hidden": "true",
    },
    ring ? s("circle", { cx: box[0] / 2, cy: box[1] / 2, r: box[0] / 2 - 2 }) : null,
    s("path", { d: path }),
  );
}

/**
 * An arm with its bar's centre, and at the wheel end the arrow of the way it turns: as seen at that wheel, where the
 * wheel is to the right on the left side.
 * @param {"left" | "right"} side
 * @param {boolean} down
 * @returns {SVGElement}
 */
export function armSign(side, down) {
  const parts = down
    ? ["M10 9L32 20", "M32 8V29M26 23L32 30L38 23", 8]
    : ["M10 25L32 14", "M32 26V5M26 11L32 4L38 11", 26];
  return s(
    "svg",
    {
      class: "icon arm-sign",
      viewBox: "0 0 40 34",
      width: 44,
      height: 38,
      "aria-hidden": "true",
      "data-swing": down ? "down" : "up",
      "data-side": side,
    },
    s(
      "g",
      { transform: side === "right" ? "translate(40 0) scale(-1 1)" : null },
      s("circle", { class: "hub", cx: 8, cy: parts[2], r: 4 }),
      s("path", { d: parts[0] }),
      s("path", { d: parts[1] }),
    ),
  );
}
