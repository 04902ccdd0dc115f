/* The turn of one end in a step of a teardown, as someone kneeling at that wheel sees it; of arms across the car, as
   seen from the front. What stays and what moves, and which way is up, is as in ends.js. */

import { arm, put, seenFrom } from "./corner.js";
import { ring, shown } from "./ends.js";
import { arc, arrow, circle, path, polar, Sheet, teeth, xy } from "./pen.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./corner.js").Seen} Seen */
/** @typedef {import("./ends.js").Way} Way */

/* More than this is not drawn to scale: the arm would leave the picture. */
const MOST = 46;
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
