/* The shapes of one rear corner, drawn once for the left side (front of the car to the left) and mirrored for the
   right. Owns geometry only, in the drawing's own units; side-view.js moves the pieces.

   The body is nobody's car: a sill, an arch, a tail. */

import { s } from "./dom.js";

export const WIDE = 400;
export const HIGH = 300;
/** Bar centre, arm length, tyre radius, and where floor and hub are while a height is read. */
export const BAR = { x: 112, y: 160 };
export const ARM = 165;
export const TYRE = 74;
export const SILL = 194;
export const FLOOR = 252;
export const LIP = { x: BAR.x + ARM, y: 76 };

/**
 * @param {string} cls
 * @param {...import("./dom.js").Child} children
 */
export const group = (cls, ...children) => s("g", { class: cls }, ...children);

/** Sill, arch and tail; jagged at the front, where the rest of the car is not drawn. */
export function bodyShape() {
  const { x, y } = LIP;
  const outline =
    `M14 ${SILL} L22 170 L12 146 L24 120 L14 92 L22 62 Q150 30 250 40 Q350 48 388 92 L392 150 L372 168 ` +
    `A94 94 0 0 0 ${x} ${y} A94 94 0 0 0 188 ${SILL} Z`;
  return group(
    "body",
    s("path", { class: "panel", d: outline }),
    s("path", { class: "line", d: "M40 78 Q150 56 236 62" }),
    s("circle", { class: "mark", cx: x, cy: y, r: 6 }),
  );
}

/** The datum: the sill's lower edge, where the gauge is laid first. */
export const datumShape = () => s("line", { class: "datum", x1: 16, y1: SILL, x2: 186, y2: SILL });

/**
 * The arm with the bar's splined end, pointing straight back; rotated about the bar.
 * @param {string} cls
 */
export function armShape(cls) {
  const { x, y } = BAR;
  const end = x + ARM;
  const d = `M${x} ${y - 20} L${end} ${y - 9} A9 9 0 0 1 ${end} ${y + 9} L${x} ${y + 20} A20 20 0 0 1 ${x} ${y - 20} Z`;
  return group(cls, s("path", { class: "plate", d }));
}

/** The bar end-on, with its splines. */
export function barShape() {
  return group(
    "bar",
    s("circle", { class: "spline", cx: BAR.x, cy: BAR.y, r: 12 }),
    s("circle", { class: "core", cx: BAR.x, cy: BAR.y, r: 7 }),
  );
}

/**
 * Tyre and hub about the origin.
 * @param {boolean} off
 */
export const wheelShape = (off) =>
  group(
    off ? "wheel off" : "wheel",
    s("circle", { class: "tyre", r: TYRE - 8 }),
    off ? null : s("circle", { class: "rim", r: TYRE - 26 }),
    s("circle", { class: "hub", r: 9 }),
  );

/** A gauge lying on an edge, about the middle of its foot. */
export const gaugeShape = () =>
  group(
    "gauge",
    s("rect", { class: "case", x: -36, y: -30, width: 72, height: 30, rx: 6 }),
    s("circle", { class: "dial", cx: 0, cy: -15, r: 10 }),
    s("line", { class: "needle", x1: 0, y1: -15, x2: 0, y2: -23 }),
  );

/**
 * A rated stand from the sill to the floor.
 * @param {number} floor
 */
export const standShape = (floor) =>
  group(
    "stand",
    s("path", { class: "leg", d: `M62 ${SILL + 4} L84 ${SILL + 4} L106 ${floor} L40 ${floor} Z` }),
    s("rect", { class: "leg", x: 54, y: SILL, width: 38, height: 8, rx: 2 }),
  );

/**
 * A tape from y0 down to y1 at x, with its ticks.
 * @param {number} x
 * @param {number} y0
 * @param {number} y1
 */
export function tapeShape(x, y0, y1) {
  const ticks = [];
  for (let y = y0 + 10; y < y1 - 4; y += 10)
    ticks.push(s("line", { class: "tick", x1: x - 7, y1: y, x2: x + 1, y2: y }));
  return group(
    "tape",
    s("rect", { class: "band", x: x - 7, y: y0, width: 14, height: Math.max(0, y1 - y0) }),
    ...ticks,
    s("path", { class: "ends", d: `M${x - 16} ${y0} H${x + 16} M${x - 16} ${y1} H${x + 16}` }),
  );
}

/**
 * An arc about the bar from one angle to another (degrees, below the horizontal positive).
 * @param {number} radius
 * @param {number} from
 * @param {number} to
 */
export function arc(radius, from, to) {
  const point = (/** @type {number} */ deg) => {
    const a = (deg * Math.PI) / 180;
    return `${(BAR.x + radius * Math.cos(a)).toFixed(2)} ${(BAR.y + radius * Math.sin(a)).toFixed(2)}`;
  };
  return `M${point(from)} A${radius} ${radius} 0 0 ${to > from ? 1 : 0} ${point(to)}`;
}
