/* The car from behind between two tapes, to scale: found dashed, expected or read solid, target a hatched gate. Left
   is on the left. And its sign of the size of a line of text, for tables, cards and choices. */

import { clamp, floor, group, path, Sheet } from "./pen.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {{top: number, bottom: number}} Gate Where a target lies in the picture. */
/** A figure for each side; `null` or nothing where it was not read.
 * @typedef {{left?: number | null, right?: number | null}} Heights */
/** What stands beside a figure, in the unit chosen: the figure, and what follows it smaller.
 * @typedef {{left?: string, right?: string, leftSpread?: string, rightSpread?: string}} Figures */
/** @typedef {{left?: number | null, right?: number | null, tolerance: number}} Gates */
/** @typedef {{found?: Heights, now?: Heights, target?: Gates, foundFigures?: Figures, nowFigures?: Figures,
 *   tick?: number, body?: boolean, front?: boolean, label: string}} Rear `body` whether the car's body is drawn on its
 *   line, `front` whether it is the front axle, seen over the bonnet, left on the left */

const WIDE = 388;
const HIGH = 230;
const FLOOR = 214;
/* Where the highest and lowest line may stand, and the inner edges of the tapes. */
const ROOM = { top: 62, bottom: 160 };
const EDGE = { left: 44, right: 344 };
const SIDES = /** @type {const} */ (["left", "right"]);
/* Letters of a figure and what follows it that have room on one line. */
const BESIDE = 9;
/* Letters of the largest figure that has room on its half. */
const LARGE = 7;
/* How high the body stands above its line. */
const BODY = 78;
/* Units for a millimetre at most: small differences are not blown up beyond it. */
const MOST = 2.5;

/** @param {number | null | undefined} value @returns {value is number} */
const known = (value) => typeof value === "number" && Number.isFinite(value);

/** Every height that has to be in the picture.
 * @param {Pick<Rear, "found" | "now" | "target">} about @returns {number[]} */
function heights({ found, now, target }) {
  const all = SIDES.flatMap((side) => [found?.[side], now?.[side]]);
  for (const side of SIDES) {
    const middle = target?.[side];
    if (target && known(middle)) all.push(middle - target.tolerance, middle + target.tolerance);
  }
  return all.filter(known);
}

/** From a height to where it is drawn, and the units of a millimetre.
 * @param {number[]} all @param {number} top @param {number} bottom @param {number} most
 * @returns {{at: (mm: number) => number, scale: number}} */
function scaled(all, top, bottom, most) {
  const low = Math.min(...all);
  const high = Math.max(...all);
  const scale = Math.min(most, (bottom - top) / Math.max(1e-9, high - low));
  const middle = (top + bottom) / 2 + ((high + low) / 2) * scale;
  return { at: (mm) => middle - mm * scale, scale };
}

/** A step of the tape that can be told apart: 1, 2 or 5 times a power of ten of `unit`.
 * @param {number} unit @param {number} scale @returns {number} */
function step(unit, scale) {
  let size = unit;
  for (const grow of [2, 2.5, 2, 2, 2.5, 2, 2, 2.5]) {
    if (size * scale >= 9) break;
    size *= grow;
  }
  return size;
}

/** @param {"left" | "right"} side @param {(mm: number) => number} at @param {number} size @returns {SVGElement} */
function tape(side, at, size) {
  const x = side === "left" ? EDGE.left - 20 : EDGE.right;
  const inner = side === "left" ? EDGE.left : EDGE.right;
  const way = side === "left" ? -1 : 1;
  let ticks = "";
  // Ticks stand at whole figures; near the floor the tape is cut, because the picture does not start at nothing.
  const high = Math.floor((at(0) - 20) / Math.max(1e-9, at(0) - at(1)) / size);
  for (let i = high, y = at(high * size); y < FLOOR - 26; i -= 1, y = at(i * size))
    if (y > 18) ticks += `M${inner} ${y.toFixed(1)} h${way * (i % 5 ? 7 : 11)} `;
  return group(
    "tape",
    s("rect", { class: "instrument", x, y: 14, width: 20, height: FLOOR - 14 }),
    path("scale", ticks.trim()),
    path("cut", `M${x - 4} ${FLOOR - 10} l28 -8`),
  );
}

/** A line from tape to tape; a stub at the tape of the side that is known.
 * @param {string} cls @param {Heights | undefined} pair @param {(mm: number) => number} at
 * @returns {SVGElement | null} */
function line(cls, pair, at) {
  const [l, r] = [pair?.left, pair?.right];
  if (known(l) && known(r)) return path(cls, `M${EDGE.left} ${at(l)} L${EDGE.right} ${at(r)}`);
  if (known(l)) return path(cls, `M${EDGE.left} ${at(l)} h66`);
  if (known(r)) return path(cls, `M${EDGE.right} ${at(r)} h-66`);
  return null;
}

/** Where a side's target lies in the picture; nothing where it has none.
 * @param {Gates | undefined} target @param {Side} side @param {(mm: number) => number} at
 * @returns {Gate | undefined} */
function gateOf(target, side, at) {
  const middle = target?.[side];
  if (!target || !known(middle)) return undefined;
  return { top: at(middle + target.tolerance), bottom: at(middle - target.tolerance) };
}

/** The hatched gate at the tape of a side.
 * @param {Sheet} sheet @param {Side} side @param {Gate} gate */
function hatched(sheet, side, { top, bottom }) {
  const high = Math.max(3, bottom - top);
  const x = side === "left" ? EDGE.left + 1 : EDGE.right - 63;
  sheet.add(
    s("rect", { x, y: top, width: 62, height: high, fill: sheet.hatch("gate", 6) }),
    path("edge", `M${x} ${top} h62 M${x} ${top + high} h62`),
  );
}

/** The height that a figure stands off from: its line, or the end of the gate that its words would stand on.
 * @param {{y: number, way: number, size: number, gate?: Gate}} about @returns {number} */
function edgeOf({ y, way, size, gate }) {
  if (gate && way < 0 && gate.top < y && gate.bottom > y - size - 8) return gate.top;
  if (gate && way > 0 && gate.bottom > y && gate.top < y + size + 8) return gate.bottom;
  return y;
}

/** A figure beside its line, above (-1) or below (1) it, clear of the gate.
 * @param {Sheet} sheet @param {{side: Side, y: number, way: number, size: number, cls: string, text?: string,
 *   spread?: string, gate?: Gate, body?: boolean}} about */
function figure(sheet, { side, y, way, size, cls, text, spread, gate, body = false }) {
  if (!text) return;
  const edge = edgeOf({ y, way, size, gate });
  // Long figures, such as fractions of an inch, have what follows them on a line of its own.
  const apart = Boolean(spread) && text.length + (spread ?? "").length > BESIDE;
  const base = clamp(way < 0 ? edge - (apart ? 30 : 10) : edge + size + 2, size, FLOOR - 4);
  const x = side === "left" ? EDGE.left + 7 : EDGE.right - 7;
  const anchor = side === "left" ? "start" : "end";
  const wide = text.length * size * 0.66;
  // Clear of the body's outline, where that is drawn.
  if (body && !spread)
    sheet.add(
      s("rect", {
        class: "clear",
        x: side === "left" ? x - 3 : x - wide + 3,
        y: base - size * 0.8,
        width: wide,
        height: size * 0.86,
      }),
    );
  const word = sheet.word(x, base, text, { anchor, cls });
  if (spread && apart) sheet.word(x, base + 20, spread, { anchor, cls: "figure spread" });
  else if (spread) word.append(s("tspan", { class: "spread", text: ` ${spread}` }));
}

/** The figures of a side: of two lines the higher one's stands above it, the lower one's below.
 * @param {Sheet} sheet @param {Side} side @param {Rear & {at: (mm: number) => number}} about */
function figures(sheet, side, { found, now, target, foundFigures, nowFigures, body, at }) {
  const [was, is] = [found?.[side], now?.[side]];
  const gate = gateOf(target, side, at);
  const above = !known(was) || !known(is) || is >= was;
  const said = (/** @type {Figures | undefined} */ of) => ({ text: of?.[side], spread: of?.[`${side}Spread`] });
  if (known(is)) {
    const { text, spread } = said(nowFigures);
    // Two long ones, such as fractions of an inch, would meet in the middle.
    const cls = (text?.length ?? 0) > LARGE ? "figure" : "figure large";
    figure(sheet, { side, y: at(is), way: above ? -1 : 1, size: 28, cls, text, spread, gate, body });
  }
  if (known(was))
    figure(sheet, { side, y: at(was), way: above ? 1 : -1, size: 21, cls: "figure", ...said(foundFigures), gate });
}

/** The car's body on its line, in outline: sides, waist, roof and rear window, leaning as the line does.
 * @param {Heights | undefined} pair @param {(mm: number) => number} at */
function outline(pair, at, front = false) {
  const [l, r] = [pair?.left, pair?.right];
  if (!known(l) && !known(r)) return null;
  const [left, right] = [at(/** @type {number} */ (known(l) ? l : r)), at(/** @type {number} */ (known(r) ? r : l))];
  const high = Math.min(BODY, Math.min(left, right) - 4);
  /** A corner of it: so far across, so much of its height above the line. @param {number} x @param {number} part */
  const corner = (x, part) => {
    const y = left + ((right - left) * (x - EDGE.left)) / (EDGE.right - EDGE.left);
    return `${x} ${(y - part * high).toFixed(1)}`;
  };
  const way = (/** @type {[number, number][]} */ ...all) => all.map(([x, part]) => corner(x, part)).join(" L");
  if (front)
    return group(
      "body-behind",
      path("shell", `M${way([60, 0], [54, 0.42], [76, 0.62], [118, 0.62], [138, 0.5], [250, 0.5], [270, 0.62])}`),
      path("shell", `M${way([270, 0.62], [312, 0.62], [334, 0.42], [328, 0])}`),
      path("window", `M${way([130, 0.96], [258, 0.96])} M${way([138, 0.5], [112, 1])} M${way([250, 0.5], [276, 1])}`),
      path("flap", `M${way([194, 0.5], [194, 0.06])}`),
    );
  return group(
    "body-behind",
    path("shell", `M${way([60, 0], [56, 0.5], [104, 0.58], [126, 1], [262, 1], [284, 0.58], [332, 0.5], [328, 0])}`),
    path("window", `M${way([118, 0.6], [136, 0.9], [252, 0.9], [270, 0.6])} Z`),
    path("flap", `M${way([140, 0.16], [140, 0.44], [248, 0.44], [248, 0.16])} Z`),
  );
}

/** The rear view, 388 by 230 units; figures and what is said of them are the caller's, in the unit chosen. Any
 * height may be missing. `tick` is the tape's smallest step in the heights' unit.
 * @param {Rear} about @returns {HTMLElement} */
export function rearView(about) {
  const { found, now, target, tick = 1, label } = about;
  const sheet = new Sheet({ wide: WIDE, high: HIGH, label, cls: "rear" });
  const all = heights(about);
  const { at, scale } = scaled(all.length ? all : [0], ROOM.top, ROOM.bottom, MOST);
  const size = step(tick, scale);
  for (const x of [81, 265])
    sheet.add(s("rect", { class: "wheel-behind", x, y: 140, width: 42, height: FLOOR - 140, rx: 12 }));
  if (about.body || about.front) sheet.add(outline(now?.left || now?.right ? now : found, at, about.front));
  if (about.front) sheet.word(194, 204, "front axle", { anchor: "middle", cls: "word soft" });
  sheet.add(floor(FLOOR, WIDE));
  for (const side of SIDES) {
    const gate = gateOf(target, side, at);
    if (gate) hatched(sheet, side, gate);
  }
  sheet.add(line("found", found, at), line("solid", now, at));
  for (const side of SIDES) {
    sheet.add(tape(side, at, size));
    figures(sheet, side, { ...about, at });
  }
  sheet.word(102, 196, "L", { anchor: "middle", cls: "word paper-only" });
  sheet.word(286, 196, "R", { anchor: "middle", cls: "word paper-only" });
  return sheet.done();
}

/** The same as a sign of 76 by 44 units without figures. It takes the colour of the words beside it.
 * @param {{found?: Heights, now?: Heights, target?: Gates, label?: string}} about
 * @returns {SVGElement} */
export function rearSign({ found, now, target, label = "" }) {
  const all = heights({ found, now, target });
  const { at } = scaled(all.length ? all : [0], 6, 21, 0.6);
  const lined = (/** @type {string} */ cls, /** @type {Heights | undefined} */ pair) => {
    const [l, r] = [pair?.left, pair?.right];
    const y = (/** @type {number} */ mm) => at(mm).toFixed(1);
    if (known(l) && known(r)) return path(cls, `M8 ${y(l)} L68 ${y(r)}`);
    if (known(l)) return path(cls, `M8 ${y(l)} h16`);
    return known(r) ? path(cls, `M68 ${y(r)} h-16`) : null;
  };
  let gates = "";
  for (const side of SIDES) {
    const middle = target?.[side];
    if (!target || !known(middle)) continue;
    const x = side === "left" ? 2 : 74;
    gates += `M${x} ${at(middle + target.tolerance).toFixed(1)} V${at(middle - target.tolerance).toFixed(1)} `;
  }
  return s(
    "svg",
    {
      viewBox: "0 0 76 44",
      class: "sign",
      ...(label ? { role: "img", "aria-label": label } : { "aria-hidden": "true" }),
    },
    path("thin", "M2 42 H74"),
    s("rect", { class: "thin", x: 14, y: 25, width: 9, height: 16, rx: 3 }),
    s("rect", { class: "thin", x: 53, y: 25, width: 9, height: 16, rx: 3 }),
    gates ? path("gates", gates.trim()) : null,
    lined("dashed", found),
    lined("thick", now),
  );
}
