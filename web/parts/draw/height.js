/* How a length is read at one corner, from the side as seen from that wheel: ride height with the tape in front of the
   tyre, the same on a board or with ballast, hub to body, the wheel's load, the arm's length. Arms that go across the
   car are seen from the front. */

import * as corner from "./corner.js";
import { circle, clamp, floor, group, path, Sheet, straight, xy } from "./pen.js";
import { s } from "../dom.js";

/** @typedef {import("./pen.js").Side} Side */
/** @typedef {"height" | "board" | "ballast" | "hub" | "load" | "lever"} What */
/** @typedef {import("./corner.js").Seen} Seen */
/** @typedef {{side: Side, what: What, hanging?: boolean, seen?: Seen, weight?: string, label: string}} Reading */

const { WIDE, HIGH, ARM, TYRE, LIP } = corner;
const FLOOR = 200;
const BAR = { x: 96, y: FLOOR - TYRE };
const BOARD = 24;
const HUB = { x: BAR.x + ARM, y: BAR.y };
const DEGREES = 180 / Math.PI;
/* By what the wheel stands on, or hangs free of: units it stands higher for that, and units the body does. */
const ON_FLOOR = { step: 0, raised: 0 };
const IN_THE_AIR = { step: 8, raised: 26 };
/** @type {{ [what in What]?: typeof ON_FLOOR }} */
const STANDS_ON = { board: { step: BOARD, raised: 12 }, load: { step: 16, raised: 16 } };
const { lower: LOWER, at: UPPER_AT } = corner.ACROSS;
/* Units that the body rises for a millimetre, and the most that it does. */
const RISE = 0.3;
const MOST = 18;

/** The car with its wheel at `hub`, its body `up` units above where it stands.
 * @param {Sheet} sheet @param {{x: number, y: number}} hub @param {{pale: boolean, seen: Seen}} about
 * @returns {{place: (up: number) => void, sprung: SVGElement}} */
function car(sheet, hub, { pale, seen }) {
  if (seen === "across") return carAcross(sheet, hub);
  const sprung = group("sprung", corner.shell(seen, BAR));
  const swing = group("swing", corner.arm("moving"), corner.bar({ x: 0, y: 0 }));
  sheet.add(corner.wheel(hub, pale ? "pale" : ""), sprung, swing);
  const place = (/** @type {number} */ up) => {
    sprung.style.transform = `translateY(${-up}px)`;
    swing.style.transform = swung(hub, BAR, ARM, up);
  };
  place(0);
  return { place, sprung };
}

/** Where an arm lies whose wheel stands at `hub`, its pivot `up` units above `from`.
 * @param {{x: number, y: number}} hub @param {{x: number, y: number}} from @param {number} length @param {number} up */
function swung(hub, from, length, up) {
  const deg = Math.asin(clamp((hub.y - BAR.y + up) / length, -0.7, 0.7)) * DEGREES;
  return `translate(${from.x}px, ${from.y - up}px) rotate(${deg}deg)`;
}

/** The same from the front, its arms across the car.
 * @param {Sheet} sheet @param {{x: number, y: number}} hub
 * @returns {{place: (up: number) => void, sprung: SVGElement}} */
function carAcross(sheet, hub) {
  const from = { x: BAR.x + UPPER_AT.x, y: BAR.y + UPPER_AT.y };
  const sprung = group("sprung", corner.wing(BAR));
  const arms = [
    { node: group("swing", corner.lowerArm(), circle("core", { x: 0, y: 0 }, 6)), at: BAR },
    { node: group("swing", corner.upperArm()), at: from },
  ];
  sheet.add(corner.tread(hub), sprung, ...arms.map(({ node }) => node));
  const place = (/** @type {number} */ up) => {
    sprung.style.transform = `translateY(${-up}px)`;
    for (const { node, at } of arms) node.style.transform = swung(hub, at, LOWER, up);
  };
  place(0);
  return { place, sprung };
}

/** Mark and tape; the upper end goes with the body.
 * @param {Sheet} sheet @param {number} down @param {boolean} hook @returns {(up: number) => void} */
function taped(sheet, down, hook) {
  const x = BAR.x + LIP.x;
  const lip = { x, y: BAR.y + LIP.y };
  const top = group("sprung", corner.mark(lip));
  const place = (/** @type {number} */ up) => {
    tape.replaceChildren(...corner.tape({ x, y: lip.y - up }, { x, y: down }).children);
    tape.querySelector(".heavy")?.classList.toggle("away", !hook);
    top.style.transform = `translateY(${-up}px)`;
  };
  const tape = corner.tape(lip, { x, y: down });
  sheet.add(tape, top);
  place(0);
  return place;
}

/** @param {Sheet} sheet @param {string} [weight] */
function ballast(sheet, weight) {
  const at = { x: HUB.x };
  sheet.add(
    group(
      "sprung",
      path("plain", `M${at.x - 66} 62 L${at.x - 56} 14 H${at.x + 56} L${at.x + 66} 62 Z`),
      path("arrow middling", straight({ x: at.x + 88, y: 14 }, { x: at.x + 88, y: 50 })),
    ),
  );
  if (weight) sheet.word(at.x, 43, weight, { anchor: "middle", cls: "figure" });
}

/** The arm's length by tape: level, between plumb lines at the bar's and the wheel's centre; across the car from the
 * inner pivot to the ball joint. @param {Sheet} sheet @param {boolean} across */
function lever(sheet, across) {
  const y = 56;
  const end = { x: BAR.x + (across ? LOWER : ARM), y: HUB.y };
  sheet.add(
    floor(FLOOR, WIDE),
    across ? corner.tread(HUB) : corner.wheel(HUB, "pale"),
    across ? corner.put(corner.lowerArm(), BAR) : corner.put(corner.arm("moving"), BAR),
    across ? null : corner.bar(BAR, 14),
    path("plumb", `M${BAR.x} ${y} V${BAR.y} M${end.x} ${y} V${end.y}`),
    s("circle", { class: "dot", cx: BAR.x, cy: BAR.y, r: 5 }),
    s("circle", { class: "dot", cx: end.x, cy: end.y, r: 5 }),
    s("rect", { class: "instrument", x: BAR.x, y: y - 16, width: end.x - BAR.x, height: 16 }),
  );
  let ticks = "";
  for (let x = BAR.x + 10; x < end.x; x += 10) ticks += `M${x} ${y} v-${x % 50 === 46 ? 10 : 7} `;
  sheet.add(path("scale", ticks.trim()));
  const [from, to] = across ? ["inner pivot", "ball joint"] : ["bar’s centre", "wheel’s centre"];
  sheet.named(8, 226, from, { x: BAR.x - 3, y: BAR.y + 5 }, { cls: "word tight" }, { x: 66, y: 206 });
  sheet.named(392, 226, to, { x: end.x + 4, y: end.y + 5 }, { anchor: "end", cls: "word tight" }, { x: 302, y: 206 });
  sheet.word((BAR.x + end.x) / 2, 30, "level", { anchor: "middle" });
}

/** What lies under the tyre.
 * @param {Sheet} sheet @param {What} what @param {{x: number, y: number}} hub */
function under(sheet, what, hub) {
  if (what === "board") {
    sheet.add(s("rect", { class: "plain", x: hub.x - 64, y: FLOOR - BOARD, width: 128, height: BOARD, rx: 2 }));
    sheet.named(392, 224, "board", { x: hub.x + 50, y: FLOOR - 8 }, { anchor: "end" }, { x: 336, y: 212 });
  }
  if (what === "load") {
    sheet.add(s("rect", { class: "instrument", x: hub.x - 58, y: FLOOR - 15, width: 116, height: 14, rx: 3 }));
    sheet.named(392, 224, "scale", { x: hub.x + 50, y: FLOOR - 6 }, { anchor: "end" }, { x: 338, y: 212 });
  }
}

/** What is read: the load as an arrow, a length by tape, with words for what the tape goes to.
 * @param {Sheet} sheet @param {What} what @param {{x: number, y: number}} hub @param {SVGElement} leader to the mark
 * @returns {(up: number) => void} stretches the tape as the body goes up */
function measured(sheet, what, hub, leader) {
  if (what === "load") {
    sheet.add(path("arrow", straight({ x: hub.x, y: hub.y - 38 }, { x: hub.x, y: hub.y + 34 }, 18)));
    return () => {};
  }
  const toHub = what === "hub";
  const stretch = taped(sheet, toHub ? hub.y : FLOOR, !toHub);
  if (toHub) sheet.add(s("circle", { class: "dot", cx: hub.x, cy: hub.y, r: 6 }));
  if (what !== "ballast") {
    sheet.word(392, 24, "mark", { anchor: "end" });
    sheet.add(leader);
  }
  if (toHub)
    sheet.named(392, 224, "wheel’s centre", { x: hub.x + 5, y: hub.y + 5 }, { anchor: "end" }, { x: 318, y: 205 });
  else chalk(sheet, hub.x);
  return stretch;
}

/** A reading of a length, 400 by 232 units. `weight` is what lies on the axle, worded; `hanging` a wheel in the air.
 * `move(mm)` shows the body so many millimetres higher than drawn; it does nothing for an arm's length.
 * @param {Reading} about @returns {HTMLElement & {move: (mm: number) => void}} */
export function lengthReading({ side, what, hanging = false, seen = "rear", weight, label }) {
  const sheet = new Sheet({ wide: WIDE, high: HIGH, side, label, cls: `reading ${what}` });
  if (what !== "lever" || seen !== "across") corner.seenFrom(sheet, seen);
  if (what === "lever") {
    lever(sheet, seen === "across");
    return Object.assign(sheet.done(), { move: () => {} });
  }
  const air = what === "hub" && hanging;
  // On stands or a board the body stands higher, and a wheel in the air hangs below it.
  const { step, raised } = air ? IN_THE_AIR : (STANDS_ON[what] ?? ON_FLOOR);
  const hub = { x: HUB.x, y: HUB.y - step };
  if (what === "ballast") ballast(sheet, weight);
  sheet.add(floor(FLOOR, WIDE));
  if (air) sheet.add(corner.stand({ x: 48, y: BAR.y + corner.SILL + 8 - raised }, FLOOR));
  under(sheet, what, hub);
  const { place } = car(sheet, hub, { pale: what === "load", seen });
  const leader = path("leader", "");
  const stretch = measured(sheet, what, hub, leader);
  const view = Object.assign(sheet.done(), {
    move(/** @type {number} */ mm) {
      const up = clamp(mm * RISE, -MOST, MOST);
      place(raised + up);
      stretch(raised + up);
      leader.setAttribute("d", `M350 31 L${xy({ x: hub.x + 9, y: BAR.y + LIP.y - raised - up - 5 })}`);
      view.dataset.up = up.toFixed(1);
    },
  });
  view.move(0);
  return view;
}

/** Where the tyre stood, chalked on the floor, so that it stands there again.
 * @param {Sheet} sheet @param {number} x */
function chalk(sheet, x) {
  sheet.add(path("chalk", `M${xy({ x: x - 56, y: FLOOR + 5 })} q56 16 112 0`));
  sheet.named(8, 224, "chalk the tyre", { x: x - 54, y: FLOOR + 8 }, {}, { x: 166, y: FLOOR + 16 });
}
