/* The bar as it lies in the hand or in the car, seen from above: wheel and arm at its outer end, the anchor near the
   middle of the car at its inner end; where the arms go across the car, the arm alone and the anchor, wherever that is.
   What is counted or measured of it, with the instrument on it. 400 by 232 units,
   for the left side, mirrored for the right. Tools are common practice of the trade, no source. */

import { arrow, circle, path, polar, Sheet, straight, teeth, xy } from "./pen.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./pen.js").Point} Point */
/** @typedef {"inner" | "outer" | "count" | "diameter" | "length" | "size" | "bore" | "none"} Of */

/* Where the plain part begins and ends, how long the splines are. */
const [FROM, TO, SPLINES] = [98, 310, 42];
/* Half the thickness of the plain part and of the splines. */
const [HALF, SPLINE] = [13, 20];
/* The drawing's class where the arms go across the car. */
const ACROSS = "across";
/* Heights of the bar: above what is drawn of its ends, and alone. */
const HIGH = 70;
const ALONE = 104;
/* An end as seen along the bar. */
const END = { r: 42, y: 174, outer: 66, inner: 334, alone: 262, teeth: 40 };

/** Splines lying along the bar. @param {number} x @param {number} y @returns {SVGElement[]} */
function splines(x, y) {
  let lines = "";
  for (let up = -SPLINE + 8; up < SPLINE; up += 8) lines += `M${x} ${y + up} h${SPLINES} `;
  return [
    s("rect", { class: "plain", x, y: y - SPLINE, width: SPLINES, height: 2 * SPLINE }),
    path("tooth", lines.trim()),
  ];
}

/** Bar, arm, wheel and anchor. @param {Sheet} sheet @param {number} y @param {number} tail where the arm ends */
function bar(sheet, y, tail) {
  const out = FROM - SPLINES;
  const across = sheet.svg.classList.contains(ACROSS);
  sheet.add(
    across ? null : s("rect", { class: "tyre", x: 6, y: y - 34, width: 34, height: tail - y + 34, rx: 13 }),
    path("arm moving", `M${out - 8} ${y - 32} H${FROM - 4} L${FROM - 10} ${tail} H${out - 2} Z`),
    sheet.hatched("fixed", `M${TO - 6} ${y - 44} H${TO + SPLINES + 8} V${y + 44} H${TO - 6} Z`, 7),
    s("rect", { class: "plain", x: FROM, y: y - HALF, width: TO - FROM, height: 2 * HALF }),
    splines(out, y),
    splines(TO, y),
  );
  sheet.word(8, 22, across ? "arm" : "wheel");
  sheet.word(392, 22, "anchor", { anchor: "end" });
}

/** From an end seen along the bar to where it is on it. @param {Point} at */
const toInner = (at) =>
  path("leader", `M${xy(polar(at, END.r + 14, -52))} L${xy({ x: TO + 16, y: HIGH + SPLINE + 2 })}`);

/** An end seen along the bar, its first tooth marked, counted all the way round.
 * @param {Sheet} sheet @param {"inner" | "outer"} end @param {number} ends how many are drawn */
function counted(sheet, end, ends) {
  const words = ends === 1 ? `${end} end` : end;
  const away = end === "outer" ? 1 : -1;
  // Alone it leaves the corner to the key that says how.
  const at = { x: ends === 1 && end === "inner" ? END.alone : END[end], y: END.y };
  const mark = `M${xy(polar(at, END.r - 14, -90))} L${xy(polar(at, END.r + 8, -90))}`;
  sheet.add(
    circle("spline", at, END.r),
    teeth(at, END.r - 9, END.r, END.teeth),
    circle("core", at, END.r - 18),
    path("arrow middling", arrow(at, END.r + 12, -62, 238, 12)),
    path("paint-edge", mark),
    path("paint", mark),
    at.x === END.alone && toInner(at),
  );
  sheet.word(at.x + away * (END.r + 22), END.y + (ends === 1 ? 8 : -away * 20 - 2), words, {
    anchor: end === "outer" ? "start" : "end",
  });
}

/** A caliper closed on the plain part. @param {Sheet} sheet @param {number} x @param {number} y */
function caliper(sheet, x, y) {
  let ticks = "";
  for (let at = y + 54; at < y + 108; at += 9) ticks += `M${x + 44} ${at} h10 `;
  const [top, under] = [y - HALF, y + HALF];
  sheet.add(
    path(
      "instrument",
      `M${x} ${top} L${x + 8} ${top - 18} H${x + 42} V${top - 36} H${x + 66} V${y + 116} H${x + 42} V${top} Z`,
    ),
    path("instrument", `M${x} ${under} L${x + 8} ${under + 18} H${x + 34} V${under + 32} H${x + 74} V${under} Z`),
    path("scale", ticks.trim()),
  );
}

/** A tape along the plain part. @param {Sheet} sheet @param {number} y */
function tape(sheet, y) {
  let ticks = "";
  for (let at = FROM + 12; at < TO; at += 12) ticks += `M${at} ${y + 30} v8 `;
  sheet.add(
    s("rect", { class: "instrument", x: FROM, y: y + 30, width: TO - FROM, height: 17 }),
    path("scale", ticks.trim()),
    path("plumb", `M${FROM} ${y + HALF} v46 M${TO} ${y + HALF} v46`),
  );
}

/** The two ends, or one, and what is done at them. @param {Sheet} sheet @param {("inner" | "outer")[]} ends */
function ends(sheet, ...ends) {
  bar(sheet, HIGH, HIGH + 44);
  for (const end of ends) counted(sheet, end, ends.length);
}

/** The bar alone, with something on it. @param {Sheet} sheet @param {(sheet: Sheet) => void} [more] */
function alone(sheet, more) {
  bar(sheet, ALONE, 166);
  more?.(sheet);
}

/** The end with its bore. @param {Sheet} sheet */
function bore(sheet) {
  const at = { x: END.alone, y: END.y };
  const round = (/** @type {number} */ r) =>
    `M${at.x - r} ${at.y} a${r} ${r} 0 1 0 ${2 * r} 0 a${r} ${r} 0 1 0 ${-2 * r} 0 Z`;
  const across = (/** @type {number} */ way) =>
    straight({ x: at.x + way * 58, y: at.y }, { x: at.x + way * 19, y: at.y }, 9);
  bar(sheet, HIGH, HIGH + 44);
  sheet.add(sheet.hatched("fixed", `${round(END.r)} ${round(17)}`, 6));
  sheet.add(path("arrow middling", `${across(-1)} ${across(1)}`), toInner(at));
  sheet.word(at.x - 66, at.y + 8, "bore", { anchor: "end" });
}

/** @type {Record<Of, (sheet: Sheet) => void>} */
const DRAWN = {
  inner: (sheet) => ends(sheet, "inner"),
  outer: (sheet) => ends(sheet, "outer"),
  count: (sheet) => ends(sheet, "outer", "inner"),
  diameter: (sheet) => alone(sheet, () => caliper(sheet, 172, ALONE)),
  length: (sheet) =>
    alone(sheet, () => {
      tape(sheet, ALONE);
      sheet.word((FROM + TO) / 2 - 32, 198, "between the splines", { anchor: "middle" });
    }),
  size: (sheet) =>
    alone(sheet, () => {
      tape(sheet, ALONE);
      caliper(sheet, 172, ALONE);
    }),
  bore,
  none: (sheet) => alone(sheet),
};

/** What can be drawn of the bar. */
export const BARS = /** @type {Of[]} */ (Object.keys(DRAWN));

/**
 * The picture: teeth to be counted at an end ("inner", "outer") or both ("count"), what is measured of the plain part
 * ("diameter", "length", both "size"), the bore, or the bar alone ("none").
 * @param {{side?: Side, of: Of, seen?: import("./corner.js").Seen, label: string}} about
 * @returns {HTMLElement}
 */
export function barPicture({ side = "left", of, seen = "rear", label }) {
  const sheet = new Sheet({ wide: 400, high: 232, side, label, cls: `bar-of ${of} ${seen === ACROSS ? ACROSS : ""}` });
  DRAWN[of](sheet);
  return sheet.done();
}
