/* What sets a height besides splines, and where its readings are taken: lever and screw seen along the bar, thread,
   eccentric plate, notches, beam with leaf packs, bars across the car from above, anti-roll link, the points of an arm
   difference, bump rubber, damper. 400 by 232 units, mirrored for the right. Nobody's car; the car's own manual goes
   before them. */

import * as corner from "./corner.js";
import { arrow, circle, floor, path, polar, Sheet, straight, teeth, xy } from "./pen.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./pen.js").Point} Point */
/** @typedef {import("./corner.js").Seen} Seen */

const { WIDE, HIGH } = corner;
const BAR = { x: 92, y: 116 };
const LEVER = 168;
const SCREW = BAR.x + LEVER;
/* How far the lever is shown to turn, degrees. */
const TURN = 9;

/** @param {string} cls @param {number} x @param {number} y @param {number} width @param {number} height
 * @param {number} [rx] */
const box = (cls, x, y, width, height, rx = 2) => s("rect", { class: cls, x, y, width, height, rx });

/** Thread marks on a rod. @param {number} x @param {number} from @param {number} to @param {number} half */
function thread(x, from, to, half) {
  let d = "";
  for (let y = from; y < to; y += 7) d += `M${x - half} ${y} l${2 * half} 4 `;
  return path("scale", d.trim());
}

/** The bar's end, the lever on it and the screw through its end; `deg` how far the lever is turned.
 * @param {Sheet} sheet @param {{ deg?: number, ghost?: boolean }} [about] */
function screwed(sheet, { deg = 0, ghost = false } = {}) {
  const end = polar(BAR, LEVER, deg);
  sheet.add(
    sheet.hatched("fixed", `M${SCREW - 58} 14 H${SCREW + 58} V40 H${SCREW - 58} Z`, 7),
    box("plain", SCREW - 8, 26, 16, 184),
    thread(SCREW, 48, 204, 8),
    ghost ? corner.put(corner.arm("ghost", LEVER, 26, 16), BAR) : null,
    corner.put(corner.arm("moving", LEVER, 26, 16), BAR, deg),
    corner.bar(BAR, 17),
    box("plain", SCREW - 20, end.y + 18, 40, 20, 3),
    path("thin-line", `M${SCREW - 7} ${end.y + 18} v20 M${SCREW + 7} ${end.y + 18} v20`),
    box("plain", SCREW - 17, end.y + 40, 34, 12, 2),
  );
}

/** A level tape between two points' plumb lines.
 * @param {Sheet} sheet @param {number} from @param {number} to @param {number} y */
function level(sheet, from, to, y) {
  let ticks = "";
  for (let x = from + 10; x < to; x += 10) ticks += `M${x} ${y} v-7 `;
  sheet.add(
    path("plumb", `M${from} ${y} V${BAR.y} M${to} ${y} V${BAR.y}`),
    s("circle", { class: "dot", cx: from, cy: BAR.y, r: 5 }),
    s("circle", { class: "dot", cx: to, cy: BAR.y, r: 5 }),
    box("instrument", from, y - 16, to - from, 16),
    path("scale", ticks.trim()),
  );
}

/** @param {Sheet} sheet */
function lever(sheet) {
  screwed(sheet);
  level(sheet, BAR.x, SCREW, 74);
  sheet.named(8, 218, "bar’s centre", { x: BAR.x - 2, y: BAR.y + 6 }, { cls: "word tight" }, { x: 66, y: 198 });
  sheet.named(392, 200, "screw", { x: SCREW + 8, y: 196 }, { anchor: "end" }, { x: 326, y: 194 });
}

/** Thread, nut and lock nut. @param {Sheet} sheet */
function screw(sheet) {
  screwed(sheet);
  sheet.named(8, 190, "nut", { x: SCREW - 20, y: BAR.y + 28 }, {}, { x: 56, y: 180 });
  sheet.named(8, 224, "lock nut", { x: SCREW - 17, y: BAR.y + 46 }, {}, { x: 112, y: 214 });
  sheet.named(392, 200, "thread", { x: SCREW + 8, y: 190 }, { anchor: "end" }, { x: 318, y: 192 });
}

/** A thread beside its gauge, one turn between two crests. @param {Sheet} sheet */
function pitch(sheet) {
  const crest = 30;
  let bolt = "M70 20 H150";
  for (let y = 20; y < 200; y += crest) bolt += ` L176 ${y + crest / 2} L150 ${y + crest}`;
  let comb = "M250 8 H196 L196 20";
  for (let y = 20; y < 200; y += crest) comb += ` L170 ${y + crest / 2} L196 ${y + crest}`;
  sheet.add(
    path("plain", `${bolt} H70 Z`),
    path("scale", "M70 20 V200"),
    path("instrument", `${comb.replace("M250 8 H196 L196 20", "M252 20 H196")} H252 Z`),
    path("plumb", "M176 65 H318 M176 95 H318"),
    path("arrow middling", straight({ x: 300, y: 36 }, { x: 300, y: 63 }, 9)),
    path("arrow middling", straight({ x: 300, y: 124 }, { x: 300, y: 97 }, 9)),
  );
  sheet.word(392, 146, "pitch", { anchor: "end" });
  sheet.word(392, 172, "one turn", { anchor: "end", cls: "word soft" });
  sheet.word(224, 222, "thread gauge", { anchor: "middle" });
}

/** @param {Sheet} sheet */
function boltLength(sheet) {
  screwed(sheet);
  const [from, to] = [BAR.y + 52, 210];
  sheet.add(
    path("plumb", `M${SCREW - 30} ${from} h84 M${SCREW - 30} ${to} h84`),
    box("instrument", SCREW + 34, from, 16, to - from),
    path("scale", `M${SCREW + 34} ${from + 12} h8 M${SCREW + 34} ${from + 24} h8 M${SCREW + 34} ${from + 36} h8`),
  );
  sheet.named(8, 186, "nut’s face", { x: SCREW - 18, y: from }, {}, { x: 128, y: 178 });
  sheet.named(8, 224, "bolt’s end", { x: SCREW - 8, y: to - 2 }, {}, { x: 126, y: 216 });
}

/** What is left to turn: over the nut to raise, under it to lower. @param {Sheet} sheet @param {boolean} raise */
function left(sheet, raise) {
  screwed(sheet);
  const [from, to] = raise ? [40, BAR.y - 16] : [BAR.y + 52, 210];
  const d = `M${SCREW - 26} ${from} H${SCREW + 26} V${to} H${SCREW - 26} Z`;
  sheet.add(sheet.hatching("gate", d, 6), path("dashed-edge", d));
  const y = (from + to) / 2;
  sheet.named(392, y + 8, "left", { x: SCREW + 26, y }, { anchor: "end" }, { x: 344, y });
  sheet.word(392, y + 34, raise ? "to raise" : "to lower", { anchor: "end" });
}

/** The lever as its screw moves it. @param {Sheet} sheet @param {boolean} raise */
function turned(sheet, raise) {
  const deg = raise ? -TURN : TURN;
  screwed(sheet, { deg, ghost: true });
  const end = polar(BAR, LEVER, deg);
  sheet.add(
    path("arrow", arrow(BAR, LEVER + 62, raise ? 6 : -6, deg * 1.4, 16)),
    path("arrow middling", `M${SCREW - 36} ${end.y + 62} a38 13 0 0 0 72 0`),
  );
  sheet.word(392, raise ? 62 : 190, raise ? "raise" : "lower", { anchor: "end" });
  sheet.named(8, 218, "count flats", { x: SCREW - 20, y: end.y + 30 }, {}, { x: 130, y: 208 });
}

/** @param {Sheet} sheet @param {number} way */
function eccentric(sheet, way) {
  sheet.add(path("plain", "M52 112 a44 44 0 0 1 44 -44 H384 V156 H96 a44 44 0 0 1 -44 -44 Z"));
  rounded(sheet, way);
}

/** A cam at the end of the lever on the bar's inner end, in a bracket of the body. @param {Sheet} sheet
 * @param {number} way */
function cam(sheet, way) {
  sheet.add(sheet.hatched("fixed", "M196 62 H384 V162 H196 Z", 7));
  rounded(sheet, way);
  sheet.named(100, 34, "lever", { x: 150, y: 92 }, { anchor: "middle" }, { x: 116, y: 40 });
}

/** Bar's end, lever, eccentric and its clamp bolts. @param {Sheet} sheet @param {number} way */
function rounded(sheet, way) {
  const at = { x: 250, y: 112 };
  sheet.add(
    corner.put(corner.arm("moving", 112, 36, 30), { x: 96, y: 112 }),
    corner.bar({ x: 96, y: 112 }, 22),
    circle("ground-ring", at, 42),
    circle("instrument", { x: at.x + 9, y: at.y }, 31),
    path("plain", hexagon(at, 17)),
    path("paint", `M${at.x} ${at.y - 56} V${at.y - 30}`),
    [336, 366].map((x) => circle("head", { x, y: x === 336 ? 88 : 136 }, 12)),
    way ? path("arrow", arrow(at, 62, way > 0 ? -150 : -30, way > 0 ? -30 : -150, 15)) : null,
  );
  sheet.named(8, 214, "eccentric", { x: at.x - 12, y: at.y + 28 }, {}, { x: 124, y: 206 });
  sheet.named(392, 214, "clamp bolts", { x: 364, y: 146 }, { anchor: "end" }, { x: 344, y: 194 });
  if (way) sheet.word(at.x, 30, way > 0 ? "raise" : "lower", { anchor: "middle" });
  else sheet.named(330, 34, "scribed", { x: at.x, y: at.y - 52 }, { anchor: "middle" }, { x: 284, y: 40 });
}

/** @param {Point} at @param {number} r */
function hexagon(at, r) {
  const points = [0, 60, 120, 180, 240, 300].map((deg) => polar(at, r, deg));
  return `M${points.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join(" L")} Z`;
}

/** Notches about the bar, one of them by its radius; `way` turned, raising positive. @param {Sheet} sheet
 * @param {number} way */
function notch(sheet, way) {
  const at = { x: 150, y: 112 };
  sheet.add(
    circle("ground-ring", at, 84),
    teeth(at, 70, 84, 24),
    corner.put(corner.arm("moving", 60, 26, 12), at),
    corner.bar(at, 17),
    path("plumb", [-15, -30].map((deg) => `M${xy(at)} L${xy(polar(at, 128, deg))}`).join(" ")),
    path("arrow middling", way < 0 ? arrow(at, 112, -31, -14, 11) : arrow(at, 112, -14, -31, 11)),
  );
  sheet.word(392, 40, "one notch", { anchor: "end" });
  if (way) sheet.word(392, 70, way > 0 ? "raise" : "lower", { anchor: "end" });
  sheet.named(392, 200, "radius", { x: at.x + 74, y: at.y + 20 }, { anchor: "end" }, { x: 322, y: 186 });
}

/** Two tubes with a pack in each, from the front. @param {Sheet} sheet */
function beam(sheet) {
  const tubes = [78, 148];
  sheet.add(
    floor(214, WIDE),
    tubes.map((y) => sheet.hatched("fixed", `M62 ${y - 17} H338 V${y + 17} H62 Z`, 7)),
    tubes.map((y) => path("moving", `M46 ${y - 6} H354 V${y + 6} H46 Z`)),
    box("plain", 44, 58, 22, 112, 6),
    box("plain", 334, 58, 22, 112, 6),
    box("wheel-behind", 8, 96, 34, 116, 10),
    box("wheel-behind", 358, 96, 34, 116, 10),
    box("instrument", 178, 52, 44, 52, 6),
    path("plain", hexagon({ x: 200, y: 78 }, 13)),
    box("plain", 182, 126, 36, 44, 4),
  );
  sheet.named(200, 30, "adjuster", { x: 200, y: 54 }, { anchor: "middle" }, { x: 200, y: 36 });
  sheet.named(130, 204, "clamp", { x: 190, y: 164 }, { anchor: "middle" }, { x: 150, y: 190 });
  sheet.named(268, 204, "leaf pack", { x: 296, y: 152 }, { anchor: "middle" }, { x: 280, y: 188 });
}

/** Both bars from above: the wheel's own goes to the other side. @param {Sheet} sheet */
function across(sheet) {
  sheet.add(
    path("panel", "M92 20 Q200 -8 308 20 V226 H92 Z"),
    box("wheel-behind", 24, 40, 36, 88, 8),
    box("wheel-behind", 340, 40, 36, 88, 8),
    path("plain", "M340 78 H314 V176 H302 V66 H340 Z"),
    path("found", "M302 170 H100"),
    box("plain", 84, 160, 26, 34, 3),
    path("moving", "M60 66 H98 V120 H300 V134 H84 V80 H60 Z"),
    box("instrument", 288, 112, 30, 40, 3),
    path("plain", hexagon({ x: 303, y: 138 }, 9)),
    path("front", "M200 4 L191 20 H209 Z"),
  );
  sheet.word(200, 44, "front", { anchor: "middle", cls: "word soft" });
  sheet.named(392, 216, "its screw", { x: 306, y: 152 }, { anchor: "end" }, { x: 344, y: 196 });
  sheet.named(8, 216, "this wheel", { x: 42, y: 128 }, {}, { x: 44, y: 196 });
}

/** Floor to the pivot less floor to the arm's point. @param {Sheet} sheet @param {Seen} seen */
function armDifference(sheet, seen) {
  const pivot = { x: 92, y: 76 };
  const point = polar(pivot, 196, 14);
  sheet.add(
    floor(206, WIDE),
    seen === "across"
      ? box("wheel-behind", 322, 66, 52, 140, 14)
      : corner.wheel({ x: point.x + 24, y: 206 - 80 }, "pale", 80),
    sheet.hatched("fixed", "M40 34 H130 V66 H112 V86 H72 V66 H40 Z", 7),
    corner.put(corner.arm("moving", 200, 16, 14), pivot, 14),
    circle("core", pivot, 7),
    circle("core", point, 7),
    corner.tape(pivot, { x: pivot.x, y: 206 }),
    corner.tape(point, { x: point.x, y: 206 }),
    path("plumb", `M${pivot.x + 10} ${pivot.y} H${point.x + 36} M${point.x + 10} ${point.y} h26`),
    path("arrow middling", straight({ x: point.x + 24, y: pivot.y - 24 }, { x: point.x + 24, y: pivot.y - 2 }, 9)),
    path("arrow middling", straight({ x: point.x + 24, y: point.y + 26 }, { x: point.x + 24, y: point.y + 3 }, 9)),
  );
  sheet.named(150, 30, "pivot", { x: pivot.x + 6, y: pivot.y - 5 }, {}, { x: 148, y: 38 });
  sheet.named(118, 178, "arm’s point", { x: point.x - 6, y: point.y + 5 }, {}, { x: 222, y: 160 });
}

/** @param {Sheet} sheet */
function bumpGap(sheet) {
  const pivot = { x: 62, y: 160 };
  const under = polar(pivot, 150, 4).y - 14;
  sheet.add(
    sheet.hatched("fixed", "M20 22 H300 V52 H20 Z", 7),
    corner.put(corner.arm("moving", 250, 22, 14), pivot, 4),
    circle("core", pivot, 7),
    path("panel", "M176 52 H248 L238 88 Q212 108 186 88 Z"),
    box("plain", 180, under - 8, 64, 10),
    path("plumb", `M150 100 H286 M150 ${under - 8} H286`),
    box("instrument", 268, 100, 16, under - 108),
    path("scale", `M268 110 h8 M268 122 h8 M268 134 h8`),
  );
  sheet.named(392, 92, "rubber", { x: 240, y: 76 }, { anchor: "end" }, { x: 318, y: 84 });
  sheet.named(392, 216, "plate", { x: 234, y: under }, { anchor: "end" }, { x: 330, y: 206 });
  sheet.word(300, 134, "gap");
}

/** @param {Sheet} sheet */
function damper(sheet) {
  sheet.add(
    sheet.hatched("fixed", "M40 8 H330 V30 H40 Z", 7),
    corner.put(corner.arm("moving", 250, 20, 13), { x: 70, y: 192 }, 0),
    circle("ground-ring", { x: 150, y: 44 }, 14),
    circle("ground-ring", { x: 150, y: 190 }, 14),
    box("plain", 132, 62, 36, 66, 4),
    box("plain", 144, 128, 12, 48),
    circle("core", { x: 150, y: 44 }, 5),
    circle("core", { x: 150, y: 190 }, 5),
    path("plumb", "M150 44 H236 M150 190 H236"),
    box("instrument", 214, 44, 16, 146),
    path("scale", [58, 72, 86, 100, 114, 128, 142, 156, 170].map((y) => `M214 ${y} h8`).join(" ")),
  );
  sheet.word(244, 112, "eye to eye");
  sheet.word(244, 138, "or dummy", { cls: "word soft" });
}

/** The anti-roll bar's link, undone at one end. @param {Sheet} sheet */
function link(sheet) {
  sheet.add(
    corner.put(corner.arm("moving", 250, 20, 13), { x: 70, y: 176 }, 0),
    path("steel-bar", "M28 66 H240 Q262 66 262 84"),
    path("found", "M262 92 V160"),
    path("plain", "M284 60 h20 v84 h-20 Z"),
    circle("ground-ring", { x: 294, y: 62 }, 13),
    circle("ground-ring", { x: 294, y: 142 }, 13),
    circle("hole", { x: 262, y: 86 }, 9),
    circle("hole", { x: 262, y: 176 }, 8),
    path("arrow middling", straight({ x: 316, y: 104 }, { x: 352, y: 104 }, 11)),
  );
  sheet.word(30, 50, "anti-roll bar");
  sheet.word(392, 86, "link off", { anchor: "end" });
}

/** @type {Record<string, (sheet: Sheet, seen: Seen) => void>} */
const DRAWN = {
  lever,
  screw,
  pitch,
  "bolt-length": boltLength,
  "raise-turns": (sheet) => left(sheet, true),
  "lower-turns": (sheet) => left(sheet, false),
  "screw-raise": (sheet) => turned(sheet, true),
  "screw-lower": (sheet) => turned(sheet, false),
  eccentric: (sheet) => eccentric(sheet, 0),
  "eccentric-raise": (sheet) => eccentric(sheet, 1),
  "eccentric-lower": (sheet) => eccentric(sheet, -1),
  cam: (sheet) => cam(sheet, 0),
  "cam-raise": (sheet) => cam(sheet, 1),
  "cam-lower": (sheet) => cam(sheet, -1),
  notch: (sheet) => notch(sheet, 0),
  "notch-raise": (sheet) => notch(sheet, 1),
  "notch-lower": (sheet) => notch(sheet, -1),
  beam,
  across,
  link,
  "arm-difference": armDifference,
  "bump-gap": bumpGap,
  "damper-length": damper,
};

/** The names of its pictures. */
export const ADJUSTER_VIEWS = Object.keys(DRAWN);

/**
 * A picture by its name, one of ADJUSTER_VIEWS; null for another.
 * @param {{ side: Side, of: string, seen?: Seen, label: string }} about
 * @returns {HTMLElement | null}
 */
export function adjusterPicture({ side, of, seen = "across", label }) {
  const draw = DRAWN[of];
  if (!draw) return null;
  const sheet = new Sheet({ wide: WIDE, high: HIGH, side, label, cls: `adjuster ${of}` });
  draw(sheet, seen);
  return sheet.done();
}
