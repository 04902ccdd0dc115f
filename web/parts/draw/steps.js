/* Pictures of the steps of a teardown besides turning: what is held, what moves, where nobody may be. 400 by 232
   units, as seen kneeling at the left wheel, of arms across the car from the front; mirrored for the right. Order and
   tools are common practice of the trade, no source; the car's own manual goes before them. */

import * as corner from "./corner.js";
import { arrow, circle, floor, group, path, polar, Sheet, straight, xy } from "./pen.js";
import { armOf, cornerAt, held, hubAt, pivotOf } from "./stance.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./corner.js").Seen} Seen */
/** @typedef {"stands" | "eyes" | "wheel-off" | "bolts-out" | "cover-off" | "off-stop" | "onto-stop" | "cover-on" |
 *   "bolts-in" | "wheel-on" | "down"} Step */

const { WIDE, HIGH } = corner;
const PIVOT = { x: 96, y: 82 };
const LENGTH = 148;
/* The arm on its stop, or of arms across the car at its ball joint, and hanging relaxed, degrees; and how far from the
   bar nobody may be. */
const STOPPED = 3;
const RELAXED = 25;
const DANGER = { reach: 222, from: 0, to: 38 };
const TOOL_X = 230;
/* Where it is on an arm across the car, beside the ball joint. */
const TOOL_ACROSS_X = 198;

/** What a loaded arm along the car rests on. @param {Sheet} sheet @returns {SVGElement} */
const stop = (sheet) =>
  sheet.hatched("fixed", `M${PIVOT.x + 20} ${PIVOT.y + 40} L${PIVOT.x + 104} 127 V106 L${PIVOT.x + 34} 104 Z`, 7);

/** The hub hung up over the end of an arm across the car, with the ball joint that the arm is let go at; the arm has
 * no stop. @param {Sheet} sheet */
function hung(sheet) {
  const { x } = corner.end(PIVOT, STOPPED, LENGTH);
  const joint = { x, y: 68 };
  sheet.add(
    path("bars", `M${x} ${joint.y} V46 H${x + 18}`),
    circle("core", joint, 7),
    s("rect", { class: "drum", x: x + 18, y: 8, width: 16, height: 50, rx: 3 }),
  );
  sheet.named(392, 70, "ball joint", { x: x + 8, y: joint.y }, { anchor: "end" }, { x: 286, y: 66 });
}

/** Arm, what it is loaded against and the sector to keep out of. @param {Sheet} sheet @param {Seen} seen */
function loaded(sheet, seen) {
  const across = seen === "across";
  const { reach, from, to } = DANGER;
  const sector = `M${xy(PIVOT)} L${arc2(reach, from, to)} Z`;
  sheet.add(
    group("danger", sheet.hatching("gate", sector, 7), path("dashed-edge", sector)),
    held(seen, PIVOT),
    across ? null : stop(sheet),
    corner.put(armOf(seen, LENGTH, "ghost"), PIVOT, RELAXED),
    corner.put(armOf(seen, LENGTH), PIVOT, STOPPED),
    pivotOf(seen, PIVOT, 14),
  );
  corner.seenFrom(sheet, seen);
  if (across) hung(sheet);
  else sheet.named(8, 190, "stop", { x: PIVOT.x + 36, y: 118 }, {}, { x: 48, y: 170 });
  sheet.word(392, 226, "keep out", { anchor: "end", cls: "word over" });
}

/** @param {number} reach @param {number} from @param {number} to @returns {string} */
const arc2 = (reach, from, to) =>
  `${xy(polar(PIVOT, reach, from))} A${reach} ${reach} 0 0 1 ${xy(polar(PIVOT, reach, to))}`;

/** The tool that holds the arm from above and below. @param {Sheet} sheet @param {number} x @param {number} low */
function gripped(sheet, x, low) {
  sheet.add(
    s("rect", { class: "instrument", x: x - 9, y: 26, width: 18, height: low - 26 }),
    path("scale", `M${x - 9} 36 l18 7 M${x - 9} 48 l18 7 M${x - 9} 60 l18 7`),
    path("bars", `M${x - 24} ${low} h48 M${x - 20} 24 h40`),
  );
}

/** The same, named. @param {Sheet} sheet @param {Seen} seen */
function tool(sheet, seen) {
  const x = seen === "across" ? TOOL_ACROSS_X : TOOL_X;
  gripped(sheet, x, 112);
  if (seen === "across") sheet.named(8, 190, "tool", { x: x - 18, y: 114 }, {}, { x: 58, y: 178 });
  else sheet.word(x + 32, 32, "tool");
}

/** @param {Sheet} sheet @param {Seen} seen */
function offStop(sheet, seen) {
  loaded(sheet, seen);
  tool(sheet, seen);
  sheet.add(path("arrow", arrow(PIVOT, 190, 12, 25, 20)));
  sheet.word(392, 128, "slowly", { anchor: "end", cls: "word over" });
}

/** @param {Sheet} sheet @param {Seen} seen */
function ontoStop(sheet, seen) {
  loaded(sheet, seen);
  tool(sheet, seen);
  sheet.add(path("arrow", arrow(PIVOT, 190, 25, 11, 20)));
}

/** @param {Sheet} sheet @param {Seen} seen */
function stands(sheet, seen) {
  const bar = { x: 96, y: 118 };
  const sill = bar.y + corner.SILL;
  const rail = seen === "across" ? 130 : 182;
  sheet.add(floor(218, WIDE));
  cornerAt(sheet, seen, bar, 8, "pale");
  sheet.add(
    sheet.hatched("fixed", `M20 ${sill} H${rail} V${sill + 14} H20 Z`, 7),
    group("yellow-stand", corner.stand({ x: 84, y: sill + 24 }, 218)),
    path("arrow", straight({ x: 150, y: 210 }, { x: 150, y: 168 }, 15)),
  );
  corner.seenFrom(sheet, seen);
  sheet.word(168, 208, "stand");
  sheet.named(8, 204, "rail", { x: 36, y: sill + 10 }, {}, { x: 28, y: 186 });
}

/** Arm held from below, bolts drawn out at the wheel's end or put back. @param {Sheet} sheet @param {Seen} seen
 * @param {boolean} out */
function bolts(sheet, seen, out) {
  const end = corner.end(PIVOT, 4, 190);
  const holes = [-2, -1, 0].map((i) => ({ x: end.x + i * 28, y: end.y + i * 2 }));
  sheet.add(
    floor(218, WIDE),
    held(seen, PIVOT),
    corner.put(seen === "across" ? corner.arm("moving", 190, 15, 20) : corner.arm("moving", 190, 24, 22), PIVOT, 4),
    pivotOf(seen, PIVOT, 14),
    path("instrument", "M176 216 H236 L228 202 H214 V118 H198 V202 H184 Z"),
    path("bars", "M186 114 h40"),
    holes.map((hole) => circle("hole", hole, 7)),
    holes.map((hole) => bolt({ x: hole.x, y: 26 })),
    holes.map((hole) => {
      const [low, top] = [hole.y - 14, 48].map((y) => ({ x: hole.x, y }));
      return path("arrow middling", out ? straight(low, top, 9) : straight(top, low, 9));
    }),
  );
  corner.seenFrom(sheet, seen);
  sheet.named(60, 190, "hold", { x: 194, y: 160 }, { anchor: "middle" }, { x: 92, y: 182 });
  sheet.named(
    392,
    156,
    out ? "bolts out" : "bolts in",
    { x: end.x, y: end.y + 5 },
    { anchor: "end" },
    { x: 312, y: 136 },
  );
}

/** A bolt as seen from its side. @param {{x: number, y: number}} at @param {number} [long] @returns {SVGElement} */
const bolt = (at, long = 22) =>
  group(
    "bolt",
    s("rect", { class: "plain", x: at.x - 4, y: at.y - 4, width: 8, height: long - 6 }),
    s("rect", { class: "plain", x: at.x - 9, y: at.y - 14, width: 18, height: 11, rx: 2 }),
  );

/** The cover beside its place, the tool on the arm before it comes off, paint across what is taken apart. Of arms
 * across the car the anchor's, which has no arm in it. @param {Sheet} sheet @param {Seen} seen */
function coverOff(sheet, seen) {
  const anchor = seen === "across";
  const at = { x: 166, y: 88 };
  const tool = { x: 300, low: 118 };
  const corners = [45, 135, 225, 315];
  const mark = (/** @type {number} */ deg) => `M${xy(polar(at, 15, deg))} L${xy(polar(at, 54, deg))}`;
  sheet.add(
    anchor ? null : corners.map((deg) => circle("hole", polar(at, 74, deg), 8)),
    anchor
      ? sheet.hatched("fixed", `M${at.x - 66} ${at.y - 66} h132 v132 h-132 Z`, 7)
      : [circle("housing", at, 56), corner.put(corner.arm("moving", 160, 28, 14), at, STOPPED)],
    anchor ? corners.map((deg) => circle("hole", polar(at, 74, deg), 7)) : null,
    corner.bar(at, 17),
    [160, 200].flatMap((deg) => [path("paint-edge", mark(deg)), path("paint", mark(deg))]),
    s("rect", { class: "plain", x: 12, y: 128, width: 84, height: 84, rx: 18 }),
    circle("bush", { x: 54, y: 170 }, 24),
    corners.map((deg) => circle("hole", polar({ x: 54, y: 170 }, 44, deg), 5)),
    path("arrow middling", straight({ x: 130, y: 146 }, { x: 104, y: 158 }, 11)),
  );
  if (anchor) sheet.named(392, 66, "anchor", { x: at.x + 66, y: 80 }, { anchor: "end" }, { x: 302, y: 72 });
  else {
    gripped(sheet, tool.x, tool.low);
    sheet.front();
  }
  sheet.named(104, 222, "paint marks", polar(at, 50, 165), {}, { x: 150, y: 200 });
  sheet.word(392, anchor ? 196 : 166, "tool stays on", { anchor: "end" });
}

/** Goggles on a face, and what flies. @param {Sheet} sheet */
function eyes(sheet) {
  const [x, y] = [232, 118];
  const chips = [
    [60, 70],
    [92, 122],
    [52, 164],
  ];
  const lens = (/** @type {number} */ way) =>
    s("rect", { class: "glass", x: x + way * 34 - 25, y: y - 32, width: 50, height: 36, rx: 12 });
  sheet.add(
    path(
      "panel",
      `M${x - 76} ${y - 26} Q${x - 70} 14 ${x} 12 Q${x + 70} 14 ${x + 76} ${y - 26} ` +
        `L${x + 66} ${y + 54} Q${x} ${y + 142} ${x - 66} ${y + 54} Z`,
    ),
    path("edge", `M${x - 6} ${y + 12} q-8 26 4 28 M${x - 22} ${y + 66} q22 8 44 0`),
    path("bars", `M${x - 84} ${y - 16} h18 M${x + 66} ${y - 16} h18`),
    s("rect", { class: "instrument", x: x - 70, y: y - 42, width: 140, height: 56, rx: 20 }),
    lens(-1),
    lens(1),
    chips.map(([a, b]) => path("diamond", `M${a} ${b - 9} l11 6 l-4 12 l-13 -3 Z`)),
    chips.map(([a, b]) => path("arrow middling", straight({ x: a + 18, y: b - 2 }, { x: a + 48, y: b - 12 }, 9))),
  );
  sheet.word(8, 216, "rust, parts");
}

/** Stands out, the car let down on its wheel. @param {Sheet} sheet @param {Seen} seen */
function down(sheet, seen) {
  const bar = { x: 122, y: 104 };
  sheet.add(floor(218, WIDE));
  cornerAt(sheet, seen, bar, 18);
  sheet.add(
    group("yellow-stand", corner.stand({ x: 44, y: bar.y + 56 }, 218)),
    path("arrow middling", straight({ x: 132, y: 180 }, { x: 84, y: 180 }, 11)),
    path("arrow", straight({ x: 370, y: 70 }, { x: 370, y: 168 }, 18)),
  );
  corner.seenFrom(sheet, seen);
  sheet.word(96, 208, "stands out");
  sheet.word(392, 48, "slowly", { anchor: "end" });
}

/** The cover with its bolts in their order: the long ones of a diagonal, then the short ones; at an anchor,
 * whose bolts are one length, in a diagonal alone. @param {Sheet} sheet @param {Seen} seen */
function coverOn(sheet, seen) {
  const anchor = seen === "across";
  const at = { x: 172, y: 118 };
  const order = [
    [-1, -1],
    [1, 1],
    [1, -1],
    [-1, 1],
  ];
  const ear = 72;
  sheet.add(
    anchor ? null : corner.put(corner.arm("moving", 184, 36, 20), at, 4),
    s("rect", { class: "plain", x: at.x - 92, y: at.y - 92, width: 184, height: 184, rx: 40 }),
    circle("bush", at, 58),
    corner.bar(at, 20),
    order.map(([x, y], i) =>
      group(
        "bolt",
        circle(
          i < 2 && !anchor ? "head long" : "head",
          { x: at.x + x * ear, y: at.y + y * ear },
          i < 2 && !anchor ? 20 : 16,
        ),
      ),
    ),
    path("dotted", `M${at.x - ear + 22} ${at.y - ear + 22} L${at.x + ear - 22} ${at.y + ear - 22}`),
  );
  order.forEach(([x, y], i) =>
    sheet.word(at.x + x * ear, at.y + y * ear + 9, String(i + 1), { anchor: "middle", cls: "figure on-yellow" }),
  );
  if (anchor) {
    sheet.word(392, 36, "anchor", { anchor: "end" });
    return;
  }
  sheet.front();
  sheet.word(392, 36, "1, 2 long", { anchor: "end" });
  sheet.word(392, 64, "3, 4 short", { anchor: "end" });
}

/** The wheel beside its hub, coming off or going on. @param {Sheet} sheet @param {Seen} seen @param {boolean} off */
function wheelStep(sheet, seen, off) {
  const bar = { x: 72, y: 110 };
  const across = seen === "across";
  sheet.add(floor(218, WIDE));
  const hub = hubAt(sheet, seen, bar);
  const [near, far] = [hub.x + 46, hub.x + 86];
  sheet.add(
    sheet.hatched("fixed", `M8 ${bar.y + 24} H140 V${bar.y + 38} H8 Z`, 7),
    corner.stand({ x: 60, y: bar.y + 48 }, 218),
    across ? corner.tread({ x: 336, y: hub.y }, undefined, 56) : corner.wheel({ x: 336, y: hub.y }, "", 56),
    path("arrow", straight({ x: off ? near - 12 : far - 8, y: 36 }, { x: off ? far : near - 22, y: 36 }, 17)),
  );
  corner.seenFrom(sheet, seen);
}

/** @type {Record<Step, (sheet: Sheet, seen: Seen) => void>} */
const DRAWN = {
  stands,
  eyes,
  "wheel-off": (sheet, seen) => wheelStep(sheet, seen, true),
  "bolts-out": (sheet, seen) => bolts(sheet, seen, true),
  "cover-off": coverOff,
  "off-stop": offStop,
  "onto-stop": ontoStop,
  "cover-on": coverOn,
  "bolts-in": (sheet, seen) => bolts(sheet, seen, false),
  "wheel-on": (sheet, seen) => wheelStep(sheet, seen, false),
  down,
};

/** The picture of a step.
 * @param {{side: Side, step: Step, seen?: Seen, label: string}} about @returns {HTMLElement} */
export function stepPicture({ side, step, seen = "rear", label }) {
  const sheet = new Sheet({ wide: WIDE, high: HIGH, side, label, cls: `step ${step}` });
  DRAWN[step](sheet, seen);
  return sheet.done();
}

/** The steps that have a picture here. @type {Step[]} */
export const STEPS = /** @type {Step[]} */ (Object.keys(DRAWN));
