/* Which way a bar's end is turned, as someone kneeling at that wheel sees it; of arms across the car, as seen from the
   front. Inner end: the anchor stays, bar and arm
   are one piece. Outer end: the bar's end stays, the arm is turned on it. Up is to the tail's end going up on both
   sides; the words for it are arm up and arm down, never a way of a clock. */

import { arm, put, seenFrom } from "./corner.js";
import { arc, arrow, circle, path, polar, Sheet, teeth, xy } from "./pen.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./pen.js").Point} Point */
/** @typedef {import("./corner.js").Seen} Seen */
/** @typedef {"up" | "down"} Way */

/* More than this is not drawn to scale: the arm would leave the picture. */
const MOST = 46;
const SMALL_MOST = 30;
/* Degrees of the smallest turn that still shows as one. */
const LEAST = 4;

/** @param {number} deg @param {number} most @returns {number} */
const shown = (deg, most) => Math.min(most, Math.max(LEAST, Math.abs(deg)));

/** A ring of metal between two circles, hatched where it stays.
 * @param {Sheet} sheet @param {Point} at @param {number} outer @param {number} inner @param {number} gap */
function ring(sheet, at, outer, inner, gap) {
  const round = (/** @type {number} */ r) =>
    `M${at.x - r} ${at.y} a${r} ${r} 0 1 0 ${2 * r} 0 a${r} ${r} 0 1 0 ${-2 * r} 0 Z`;
  return sheet.hatched("fixed", `${round(outer)} ${round(inner)}`, gap);
}

/** The picture of a corner's card, 140 by 104 units, without words: the arm as found and turned.
 * `end` "arm" is the angle of the arm alone, where teeth were not counted. No arrow where nothing is turned.
 * @param {{side: Side, end: "inner" | "outer" | "arm", way?: Way, deg?: number, label: string}} about
 * @returns {HTMLElement} */
export function endPicture({ side, end, way, deg = 0, label }) {
  const sheet = new Sheet({ wide: 140, high: 104, side, label, cls: "end small" });
  const at = { x: 34, y: 52 };
  const turned = way ? shown(deg, SMALL_MOST) * (way === "up" ? -1 : 1) : 0;
  if (end === "inner") sheet.add(ring(sheet, at, 27, 17, 5), teeth(at, 13, 18, 20));
  else if (end === "arm") sheet.add(circle("around", at, 26));
  if (way) sheet.add(put(arm("ghost", 72, 10, 5.5), at));
  sheet.add(put(arm("moving", 72, end === "outer" ? 18 : 10, 5.5), at, turned));
  if (end === "outer") {
    const core = `M${at.x - 11} ${at.y} a11 11 0 1 0 22 0 a11 11 0 1 0 -22 0 Z`;
    sheet.add(sheet.hatched("fixed", core, 4), teeth(at, 9, 14, 16));
  } else sheet.add(circle("core", at, 5));
  if (way) sheet.add(path("arrow middling", arrow(at, 92, 0, turned, 11)));
  return sheet.done();
}

const CENTRE = { x: 84, y: 102 };
const REACH = 138;
const ARROW = 174;
const COUNT = 200;

/** A paint mark across the teeth.
 * @param {number} deg @returns {(SVGElement)[]} */
function paint(deg) {
  const d = `M${xy(polar(CENTRE, 33, deg))} L${xy(polar(CENTRE, 55, deg))}`;
  return [path("paint-edge", d), path("paint", d)];
}

/** The turn of one end, 400 by 236 units. `deg` is the whole turn and is drawn to scale up to 46 degrees; `teeth` is
 * counted along the arrow, or nothing is where it is left out (a turn by degrees). `wayWords` such as "arm up".
 * @param {{side: Side, end: "inner" | "outer", way: Way, teeth?: number, deg: number, wayWords: string,
 *   seen?: Seen, label: string}} about
 * @returns {HTMLElement} */
export function turnPicture(about) {
  const { side, end, way, teeth: count, deg, wayWords, seen = "rear", label } = about;
  const inner = end === "inner";
  const moves = inner ? "bar and arm turn" : "arm turns";
  const stays = inner ? "anchor stays" : "bar stays";
  const sheet = new Sheet({ wide: 400, high: 236, side, label, cls: "end" });
  const sign = way === "up" ? -1 : 1;
  const whole = shown(deg, MOST);
  const [from, to] = [(-sign * whole) / 2, (sign * whole) / 2];

  if (inner) sheet.add(ring(sheet, CENTRE, 72, 48, 8), teeth(CENTRE, 37, 49, 36));
  sheet.add(put(arm("ghost", REACH, inner ? 27 : 46, 13), CENTRE, from));
  sheet.add(put(arm("moving", REACH, inner ? 27 : 46, 13), CENTRE, to));
  if (inner) sheet.add(circle("core", CENTRE, 15));
  else {
    const core = `M${CENTRE.x - 29} ${CENTRE.y} a29 29 0 1 0 58 0 a29 29 0 1 0 -58 0 Z`;
    sheet.add(circle("ground-ring", CENTRE, 37), sheet.hatched("fixed", core, 7), teeth(CENTRE, 28, 38, 30));
  }
  sheet.add(...paint(from), ...paint(to));
  sheet.add(path("arrow", arrow(CENTRE, ARROW, from, to, 18)));
  counted(sheet, { count, from, to, toScale: Math.abs(deg) <= MOST });

  const lines = wayWords.split(" ");
  lines.forEach((text, i) => sheet.word(310, 108 + (i - (lines.length - 1) / 2) * 27, text, { cls: "figure" }));
  seenFrom(sheet, seen);
  // The piece in the middle is named at the left, the one around it at the right.
  const [middle, around] = inner ? [moves, stays] : [stays, moves];
  sheet.named(8, 209, middle, polar(CENTRE, 18, 115), { cls: "word tight" }, { x: 44, y: 190 });
  sheet.named(
    392,
    209,
    around,
    polar(CENTRE, inner ? 60 : 42, 62),
    { anchor: "end", cls: "word tight" },
    { x: 272, y: 196 },
  );
  if (seen !== "across") sheet.word(8, 230, `as seen kneeling at the ${side} wheel`, { cls: "word second" });
  return sheet.done();
}

/** The teeth along the arrow, 1 to the last; only the last where they would not have room or the turn is not to
 * scale.
 * @param {Sheet} sheet @param {{count?: number, from: number, to: number, toScale: boolean}} about */
function counted(sheet, { count, from, to, toScale }) {
  if (!count) return;
  const room = (COUNT * Math.abs(to - from) * Math.PI) / 180 / count;
  const all = toScale && room >= 25;
  for (let i = all ? 1 : count; i <= count; i++) {
    const deg = from + ((to - from) * i) / count;
    const at = polar(CENTRE, COUNT, deg);
    if (all && i < count)
      sheet.add(path("tick-line", `M${xy(polar(CENTRE, 152, deg))} L${xy(polar(CENTRE, ARROW + 8, deg))}`));
    sheet.word(at.x, at.y + 9, String(i), { anchor: "middle", cls: "figure" });
  }
  sheet.add(path("tick-line", arc(CENTRE, 152, from, to)));
}
