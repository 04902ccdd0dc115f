/* How an angle is read at one corner: the arm as typed over its own level place, the gauge on its top edge, the arrow
   at the wheel's end. Or the gauge below the sill, to zero it on the body. */

import * as corner from "./corner.js";
import { arrow, clamp, floor, group, path, Sheet } from "./pen.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {"hanging" | "riding" | "droop"} Pose */
/** @typedef {{deg?: number | null, figure?: string, way?: string}} Typed */

const { WIDE, ARM } = corner;
const HIGH = 238;
const BAR = { x: 80, y: 118 };
const TYRE = 56;
const GROUND = 210;
const SMALL_TYRE = 42;
const SILL_Y = BAR.y + corner.SILL;
const ARROW = 192;
const WORDS = 305;
/* What is drawn at most, degrees either way: beyond it the picture has no room. */
const MOST = { hanging: 27, riding: 20, droop: 17 };

/** The gauge below the sill, and what it is laid on named.
 * @param {Sheet} sheet */
function zero(sheet) {
  const gauge = corner.gauge();
  gauge.setAttribute("transform", `translate(${BAR.x + 16} ${SILL_Y + 2}) scale(1 -1)`);
  sheet.add(
    corner.wheel({ x: BAR.x + ARM, y: BAR.y }, "pale", TYRE),
    corner.put(corner.arm("moving"), BAR),
    corner.bar(BAR),
    gauge,
    path("dotted", `M8 ${SILL_Y + 34} H250`),
  );
  sheet.named(8, 222, "gauge under the sill", { x: BAR.x + 6, y: SILL_Y + 28 }, {}, { x: 64, y: 203 });
}

/** A reading of an angle, 400 by 238 units. `on` "body" zeroes the gauge on the sill; "arm" reads the arm. `pose`:
 * the arm hanging free, riding on its wheel, or the wheel hanging (droop). `move` shows what is typed: degrees,
 * positive with the wheel's end below the bar, its figure and the way in words; without degrees the arm lies level
 * and nothing is said.
 * @param {{side: Side, on?: "arm" | "body", pose: Pose, zeroedOn?: string, label: string} & Typed} about
 * @returns {HTMLElement & {move: (typed: Typed) => void}} */
export function angleReading({ side, on = "arm", pose, zeroedOn, label, ...typed }) {
  const sheet = new Sheet({ wide: WIDE, high: HIGH, side, label, cls: `reading angle ${pose}` });
  const moves = /** @type {SVGElement[]} */ ([]);
  // Only the piece of floor under the tyre: the whole would cut through the body, which stands still here.
  const ground = group(
    "follows",
    path("floor", `M-62 ${TYRE} H62 M-40 ${TYRE + 3} l-8 9 M4 ${TYRE + 3} l-8 9 M48 ${TYRE + 3} l-8 9`),
  );
  const wheel = group("follows", corner.wheel({ x: 0, y: 0 }, "pale", pose === "droop" ? SMALL_TYRE : TYRE));
  if (pose === "riding" && on === "arm") {
    sheet.add(ground);
    moves.push(ground);
  }
  sheet.add(corner.body(BAR));
  sheet.front();
  if (on === "body") {
    zero(sheet);
    return Object.assign(sheet.done(), { move: () => {} });
  }
  if (pose !== "riding") sheet.add(floor(GROUND, WIDE), corner.stand({ x: 42, y: SILL_Y + 8 }, GROUND));
  if (pose !== "hanging") {
    sheet.add(wheel);
    moves.push(wheel);
  }
  const gauge = corner.put(corner.gauge(), { x: 84, y: -15 });
  const swing = group("swing", corner.arm("moving"), corner.bar({ x: 0, y: 0 }), gauge);
  const turn = path("arrow", "");
  sheet.add(path("dotted", `M${BAR.x + 30} ${BAR.y} H${WORDS - 6}`), corner.put(corner.arm("ghost"), BAR), swing, turn);
  const figure = sheet.word(WORDS, 0, "", { cls: "figure large" });
  const ways = [0, 1].map(() => sheet.word(WORDS, 0, "", { cls: "word" }));
  if (zeroedOn) sheet.named(96, 232, zeroedOn, { x: 96, y: SILL_Y + 2 }, {}, { x: 112, y: 212 });

  const view = Object.assign(sheet.done(), {
    /** @param {Typed} typed */
    move({ deg, figure: text = "", way = "" }) {
      const known = typeof deg === "number" && Number.isFinite(deg);
      const shown = known ? clamp(deg, -MOST[pose], MOST[pose]) : 0;
      const hub = corner.end(BAR, shown);
      swing.style.transform = `translate(${BAR.x}px, ${BAR.y}px) rotate(${shown}deg)`;
      for (const piece of moves) piece.style.transform = `translate(${hub.x}px, ${hub.y}px)`;
      turn.setAttribute("d", known ? arrow(BAR, ARROW, 0, shown, 15) : "");
      // Beside the arrow's end, and clear of the level line.
      const base = shown > 0 ? BAR.y + 32 : BAR.y - 62;
      figure.textContent = text;
      figure.setAttribute("y", String(base));
      way.split(" ").forEach((word, i, all) => {
        const line = ways[Math.min(i, 1)];
        line.textContent = i < 2 ? word : all.slice(1).join(" ");
        line.setAttribute("y", String(base + 24 * (Math.min(i, 1) + 1)));
      });
      view.dataset.deg = known ? String(deg) : "";
    },
  });
  view.move(typed);
  return view;
}
