/* How an angle is read at one corner: the arm as typed over its own level place, the gauge on its top edge, the arrow
   at the wheel's end. Or the gauge below the sill, to zero it on the body; of arms across the car below the cross
   member, for its level across the car is what counts there. */

import * as corner from "./corner.js";
import { arrow, circle, clamp, floor, group, path, Sheet } from "./pen.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {import("./corner.js").Seen} Seen */
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

/* Where the gauge lies on the body, from the bar: before the rear wheel, behind the front one, between both wheels. */
const ON_BODY = { rear: 16, front: 262, across: -20 };
/* So far the sill behind a front wheel is drawn, to lay the gauge on. */
const SILL_TO = 306;

/** The gauge below the sill, and what it is laid on named.
 * @param {Sheet} sheet @param {Seen} seen */
function zero(sheet, seen) {
  const gauge = corner.gauge();
  const at = { x: BAR.x + ON_BODY[seen], y: SILL_Y + 2 };
  gauge.setAttribute("transform", `translate(${at.x} ${at.y}) scale(1 -1)`);
  const far = seen === "front";
  const hub = { x: BAR.x + ARM, y: BAR.y };
  sheet.add(
    far ? corner.nose(BAR, SILL_TO) : corner.shell(seen, BAR),
    seen === "across" ? corner.tread(hub, undefined, TYRE) : corner.wheel(hub, "pale", TYRE),
    corner.put(armOf(seen), BAR),
    seen === "across" ? circle("core", BAR, 7) : corner.bar(BAR),
    gauge,
    path("dotted", far ? `M150 ${SILL_Y + 34} H392` : `M8 ${SILL_Y + 34} H250`),
  );
  const words = seen === "across" ? "gauge under cross member" : "gauge under the sill";
  const to = { x: at.x - 10, y: SILL_Y + 28 };
  if (far) sheet.named(392, 222, words, to, { anchor: "end" }, { x: 330, y: 203 });
  else sheet.named(8, 222, words, to, {}, { x: 64, y: 203 });
}

/** The arm about its pivot. @param {Seen} seen @param {string} [cls] */
const armOf = (seen, cls = "moving") => (seen === "across" ? corner.lowerArm(cls) : corner.arm(cls));

/** The wheel about the end of its arm. @param {Seen} seen @param {number} r */
const wheelOf = (seen, r) =>
  seen === "across"
    ? corner.tread({ x: ARM - corner.ACROSS.lower, y: 0 }, corner.ACROSS.tread, r)
    : corner.wheel({ x: 0, y: 0 }, "pale", r);

/** A reading of an angle, 400 by 238 units. `on` "body" zeroes the gauge on the sill; "arm" reads the arm. `pose`:
 * the arm hanging free, riding on its wheel, or the wheel hanging (droop). `move` shows what is typed: degrees,
 * positive with the wheel's end below the bar, its figure and the way in words; without degrees the arm lies level
 * and nothing is said. `seen` says which kind of axle it is.
 * @param {{side: Side, seen?: Seen, on?: "arm" | "body", pose: Pose, zeroedOn?: string, label: string} & Typed} about
 * @returns {HTMLElement & {move: (typed: Typed) => void}} */
export function angleReading({ side, seen = "rear", on = "arm", pose, zeroedOn, label, ...typed }) {
  const sheet = new Sheet({ wide: WIDE, high: HIGH, side, label, cls: `reading angle ${pose}` });
  const moves = /** @type {SVGElement[]} */ ([]);
  const reach = seen === "across" ? corner.ACROSS.lower : ARM;
  // Only the piece of floor under the tyre: the whole would cut through the body, which stands still here.
  const ground = group(
    "follows",
    path("floor", `M-62 ${TYRE} H62 M-40 ${TYRE + 3} l-8 9 M4 ${TYRE + 3} l-8 9 M48 ${TYRE + 3} l-8 9`),
  );
  const wheel = group("follows", wheelOf(seen, pose === "droop" ? SMALL_TYRE : TYRE));
  if (pose === "riding" && on === "arm") {
    sheet.add(ground);
    moves.push(ground);
  }
  corner.seenFrom(sheet, seen);
  if (on === "body") {
    zero(sheet, seen);
    return Object.assign(sheet.done(), { move: () => {} });
  }
  sheet.add(corner.shell(seen, BAR));
  if (pose !== "riding") sheet.add(floor(GROUND, WIDE), corner.stand({ x: 42, y: SILL_Y + 8 }, GROUND));
  if (pose !== "hanging") {
    sheet.add(wheel);
    moves.push(wheel);
  }
  const gauge = corner.put(corner.gauge(), { x: 84, y: -15 });
  const pivot = seen === "across" ? circle("core", { x: 0, y: 0 }, 7) : corner.bar({ x: 0, y: 0 });
  const swing = group("swing", armOf(seen), pivot, gauge);
  const turn = path("arrow", "");
  sheet.add(
    path("dotted", `M${BAR.x + 30} ${BAR.y} H${WORDS - 6}`),
    corner.put(armOf(seen, "ghost"), BAR),
    swing,
    turn,
  );
  const figure = sheet.word(WORDS, 0, "", { cls: "figure large" });
  const ways = [0, 1].map(() => sheet.word(WORDS, 0, "", { cls: "word" }));
  if (zeroedOn) sheet.named(96, 232, zeroedOn, { x: 96, y: SILL_Y + 2 }, {}, { x: 112, y: 212 });

  const view = Object.assign(sheet.done(), {
    /** @param {Typed} typed */
    move({ deg, figure: text = "", way = "" }) {
      const known = typeof deg === "number" && Number.isFinite(deg);
      const shown = known ? clamp(deg, -MOST[pose], MOST[pose]) : 0;
      const hub = corner.end(BAR, shown, reach);
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
