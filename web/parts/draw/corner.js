/* The pieces of one corner: body, arm, wheel, gauge, tape, stand. Of arms along the car, as someone kneeling at the
   left wheel sees them, of a rear axle ("rear") or a front one ("front"); of arms across the car, from the front
   ("across"). Geometry only; the drawings beside this file put the pieces together. Nobody's car. */

import { circle, group, path, polar, teeth, xy } from "./pen.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Point} Point */
/** @typedef {import("./pen.js").Sheet} Sheet */
/** @typedef {import("../../work/adjuster.js").Seen} Seen */

/** The sheet of every view of a corner, units. */
export const WIDE = 400;
export const HIGH = 232;
/** Arm from the bar's centre to the wheel's, and the tyre, units. */
export const ARM = 150;
export const TYRE = 50;
/** From the bar's centre: the wheel arch, and the sill's lower edge. */
const ARCH = 60;
export const SILL = 22;
/** The mark on the lip of the arch, from the bar's centre. */
export const LIP = { x: ARM, y: -ARCH };

/** Body from sill to tail about the bar's centre, cut off at the front; its sill is the thick line.
 * @param {Point} bar @returns {SVGElement} */
export function body(bar) {
  const at = (/** @type {number} */ x, /** @type {number} */ y) => xy({ x: bar.x + x, y: bar.y + y });
  const d =
    `M${at(-76, SILL)} L${at(-70, 2)} L${at(-76, -22)} L${at(-70, -54)} Q${at(-10, -98)} ${at(66, -100)} ` +
    `Q${at(160, -102)} ${at(204, -68)} Q${at(219, -50)} ${at(218, -12)} Q${at(217, 4)} ${at(209.5, 8)} ` +
    `A${ARCH} ${ARCH} 0 1 0 ${at(94.2, SILL)} Z`;
  return group("body", path("panel", d), path("sill", `M${at(-76, SILL)} L${at(94, SILL)}`));
}

/** Body of a front corner from nose to sill about the bar's centre, cut off at the back; its sill is the thick line.
 * @param {Point} bar @param {number} [to] where it is cut off, from the bar's centre @returns {SVGElement} */
export function nose(bar, to = 219) {
  const at = (/** @type {number} */ x, /** @type {number} */ y) => xy({ x: bar.x + x, y: bar.y + y });
  const d =
    `M${at(94.2, SILL)} H${bar.x - 58} Q${at(-74, SILL)} ${at(-74, 2)} L${at(-70, -34)} Q${at(-66, -52)} ` +
    `${at(-30, -60)} Q${at(60, -82)} ${at(150, -86)} L${at(196, -92)} L${at(to, -106)} L${at(to - 6, -72)} ` +
    `L${at(to, -44)} L${at(to - 6, -10)} L${at(to, SILL)} H${bar.x + 205.8} A${ARCH} ${ARCH} 0 1 0 ` +
    `${at(94.2, SILL)} Z`;
  return group("body", path("panel", d), path("sill", `M${at(205.8, SILL)} H${bar.x + to}`));
}

/** Wing and side member of a front corner from the front, about the lower arm's inner pivot.
 * @param {Point} pivot @returns {SVGElement} */
export function wing(pivot) {
  const at = (/** @type {number} */ x, /** @type {number} */ y) => xy({ x: pivot.x + x, y: pivot.y + y });
  const d =
    `M${at(-76, SILL)} V${pivot.y - 76} Q${at(30, -106)} ${at(118, -102)} Q${at(186, -98)} ${at(190, -ARCH)} ` +
    `H${pivot.x + 104} Q${at(100, -72)} ${at(84, -74)} H${pivot.x + 34} V${pivot.y + SILL} Z`;
  return group("body", path("panel", d), path("sill", `M${at(-76, SILL)} H${pivot.x + 34}`));
}

/** The body of a corner.
 * @param {Seen} seen @param {Point} bar @returns {SVGElement} */
export const shell = (seen, bar) => (seen === "across" ? wing(bar) : seen === "front" ? nose(bar) : body(bar));

/** From where it is seen, in words or as an arrow to the front.
 * @param {Sheet} sheet @param {Seen} seen */
export function seenFrom(sheet, seen) {
  if (seen === "across") sheet.fromFront();
  else sheet.front();
}

/* Arms across the car: from the inner pivot to the joint at the wheel, the upper one from its own pivot, which stands
 * so far from the lower one's; and half a tyre's width. */
export const ACROSS = { lower: 118, upper: 90, at: { x: 28, y: -38 }, tread: 27 };

/** A lower arm across the car about its inner pivot.
 * @returns {SVGElement} */
export const lowerArm = (cls = "moving") => arm(cls, ACROSS.lower, 13, 9);

/** The upper one, with its pivot. @returns {SVGElement} */
export const upperArm = () => group("upper", arm("moving", ACROSS.upper, 9, 7), circle("core", { x: 0, y: 0 }, 4));

/** A tyre from the front or behind, standing about its hub.
 * @param {Point} at @param {number} [half] its half width @param {number} [r] its radius @returns {SVGElement} */
export const tread = (at, half = ACROSS.tread, r = TYRE) =>
  s("rect", { class: "wheel-behind", x: at.x - half, y: at.y - r, width: 2 * half, height: 2 * r, rx: 10 });

/** The arm about the origin, pointing to the tail; `cls` "moving", or "ghost" for where it was.
 * @param {string} cls @param {number} [length] @param {number} [eye] @param {number} [end] @returns {SVGElement} */
export function arm(cls, length = ARM, eye = 20, end = 11) {
  return path(
    `arm ${cls}`,
    `M0 ${-eye} A${eye} ${eye} 0 1 0 0 ${eye} L${length} ${end} A${end} ${end} 0 0 0 ${length} ${-end} Z`,
  );
}

/** A piece put somewhere by an attribute, where it does not move.
 * @param {SVGElement} piece @param {Point} at @param {number} [deg] @returns {SVGElement} */
export function put(piece, at, deg = 0) {
  piece.setAttribute("transform", `translate(${xy(at)}) rotate(${deg.toFixed(2)})`);
  return piece;
}

/** The bar's splined end with its core.
 * @param {Point} at @param {number} [size] @returns {SVGElement} */
export const bar = (at, size = 12) =>
  group("bar", circle("spline", at, size), teeth(at, size * 0.68, size, 18), circle("core", at, size * 0.58));

/** Tyre and rim; `cls` "" or "pale" where the wheel is only there to be recognised.
 * @param {Point} at @param {string} [cls] @param {number} [r] @returns {SVGElement} */
export const wheel = (at, cls = "", r = TYRE) =>
  group(`wheel ${cls}`, circle("tyre", at, r), circle("rim", at, r * 0.68), circle("hub", at, r * 0.14));

/** A tape from `from` down to `to`, with a hook at its lower end; over everything else.
 * @param {Point} from @param {Point} to @returns {SVGElement} */
export function tape(from, to) {
  let ticks = "";
  for (let y = to.y - 10; y > from.y + 4; y -= 10) ticks += `M${xy({ x: from.x - 8, y })} h${ticks ? 7 : 10} `;
  return group(
    "tape",
    s("rect", { class: "instrument", x: from.x - 8, y: from.y, width: 16, height: Math.max(0, to.y - from.y) }),
    path("scale", ticks.trim()),
    path("heavy", `M${from.x - 16} ${to.y} H${from.x + 16}`),
  );
}

/** The mark on the body's lip: a diamond on a short line.
 * @param {Point} at @returns {SVGElement} */
export const mark = (at) =>
  group(
    "mark",
    path("edge", `M${at.x - 24} ${at.y} H${at.x + 24}`),
    path("diamond", `M${at.x} ${at.y - 11} l9 11 l-9 11 l-9 -11 Z`),
  );

/** An angle gauge about the middle of its foot.
 * @returns {SVGElement} */
export const gauge = () =>
  group(
    "gauge",
    s("rect", { class: "instrument", x: -31, y: -28, width: 62, height: 28, rx: 4 }),
    circle("glass", { x: 0, y: -14 }, 10),
    path("needle", "M0 -14 V-22"),
  );

/** An axle stand with its head at `at`, standing on a floor.
 * @param {Point} at @param {number} down @returns {SVGElement} */
export const stand = (at, down) =>
  group(
    "stand",
    path("plain", `M${at.x - 8} ${at.y + 8} L${at.x - 28} ${down} H${at.x + 28} L${at.x + 8} ${at.y + 8} Z`),
    path("plain", `M${at.x - 20} ${at.y - 7} v15 h40 v-15 h-8 v7 h-24 v-7 Z`),
  );

/** Where an arm's wheel end is.
 * @param {Point} at @param {number} deg @param {number} [length] @returns {Point} */
export const end = (at, deg, length = ARM) => polar(at, length, deg);
