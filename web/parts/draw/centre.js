/* The other axle carried on one round block amidships, from behind: its wheels clear of the floor, an axle stand under
   the body on each side, just clear of it. */

import { circle, floor, path, Sheet, straight } from "./pen.js";
import * as corner from "./corner.js";

const { WIDE, HIGH } = corner;
const FLOOR = 200;
const MIDDLE = WIDE / 2;
/* The wheels hang so far above the floor, and the body's underside and the block's radius. */
const CLEAR = 10;
const UNDER = 146;
const BLOCK = (FLOOR - UNDER) / 2;
const WHEELS = [MIDDLE - 150, MIDDLE + 150];
const STANDS = [MIDDLE - 96, MIDDLE + 96];

/** @param {string} label @returns {HTMLElement} */
export function centreView(label) {
  const sheet = new Sheet({ wide: WIDE, high: HIGH, label, cls: "reading centre" });
  const hub = FLOOR - CLEAR - corner.TYRE;
  sheet.add(
    floor(FLOOR, WIDE),
    WHEELS.map((x) => corner.tread({ x, y: hub }, 18)),
    path("panel", `M78 ${UNDER} L70 96 Q74 66 112 62 L140 26 Q200 18 260 26 L288 62 Q326 66 330 96 L322 ${UNDER} Z`),
    path("sill", `M78 ${UNDER} H322`),
    STANDS.map((x) => corner.stand({ x, y: UNDER + 15 }, FLOOR)),
    circle("plain", { x: MIDDLE, y: FLOOR - BLOCK }, BLOCK),
    path("arrow middling", straight({ x: 60, y: 78 }, { x: 60, y: 52 })),
    path("arrow middling", straight({ x: 340, y: 52 }, { x: 340, y: 78 })),
  );
  sheet.named(MIDDLE, 112, "one block", { x: MIDDLE, y: UNDER + 4 }, { anchor: "middle" });
  sheet.named(8, 226, "stands just clear", { x: STANDS[0] - 16, y: FLOOR - 6 }, {}, { x: 62, y: 210 });
  return sheet.done();
}
