/* <side-view>: one rear corner as someone kneeling at that wheel sees it; the arm moves with what is typed.

   Left side: front of the car to the left; right side: mirrored, front to the right. Takes its data by `show()`,
   owns nothing else and speaks to nobody. Angles in degrees, positive with the wheel end below the bar.

   Modes: "hanging" (arm free, car on stands), "riding" (on its wheels, gauge), "height" (tape from the floor),
   "hub" (tape from the hub), "load" (scale under the tyre), "arm" (its length), "plan" (now and then). */

import { h, s } from "./dom.js";
import * as shape from "./side-shapes.js";

const { BAR, ARM, TYRE, FLOOR, LIP, SILL } = shape;
const MM = 0.36;
const TOP = 2;

/** @import { Side } from "../types/sheet.d.ts" */

/**
 * @typedef {object} State What is drawn; angles in degrees, lengths in millimetres.
 * @property {Side} side
 * @property {string} mode
 * @property {number | null} [angle] null until it is known
 * @property {number | null} [unsigned] its size while its way is not known
 * @property {number} [datum]
 * @property {string} [gauge] where it lies
 * @property {number} [was]
 * @property {number} [board]
 * @property {number} [wanted]
 * @property {number} [drawn]
 * @property {string} [reading]
 * @property {string} [note]
 * @property {string} [words]
 * @property {boolean} [wheelOff]
 */
/**
 * @typedef {object} Measured What the tape, the gauge and the arc show.
 * @property {string} mode
 * @property {number} lift
 * @property {{ x: number, y: number }} hub
 * @property {number} floor
 * @property {number} shown
 * @property {number} tilt
 * @property {boolean} split
 * @property {string} [gauge]
 * @property {number} [wanted]
 * @property {string} [reading]
 * @property {string} [note]
 * @property {number} [was]
 */

/**
 * The pieces of the drawing.
 * @param {{ mode: string, gauge: boolean, board: boolean, off: boolean }} of
 */
const piecesOf = ({ mode, gauge, board, off }) => ({
  body: shape.group("sprung", shape.bodyShape(), shape.datumShape()),
  arm: shape.armShape("arm"),
  was: shape.armShape("arm was"),
  ghosts: [shape.armShape("arm ghost"), shape.armShape("arm ghost")],
  wheel: shape.wheelShape(mode === "hanging"),
  bar: shape.barShape(),
  level: s("path", { class: "level", d: `M${BAR.x} ${BAR.y} h${ARM + 30}` }),
  arc: s("path", { class: "arc" }),
  floor: s("path", { class: "floor" }),
  board: board ? s("rect", { class: "board", x: LIP.x - 62, width: 124, rx: 3 }) : null,
  tape: shape.group("tape-place"),
  wanted: s("path", { class: "wanted", d: `M${LIP.x - 118} 0 H${LIP.x + 112}` }),
  gauge: gauge ? shape.gaugeShape() : null,
  stand: off ? shape.standShape(288) : null,
});

/**
 * @param {number} value
 * @param {number} most
 */
const clamp = (value, most) => Math.max(-most, Math.min(most, value));
/** @param {number} deg */
const turn = (deg) => `rotate(${deg}deg)`;

class SideView extends HTMLElement {
  built = "";
  svg = s("svg");
  value = h("p");
  pieces = piecesOf({ mode: "", gauge: false, board: false, off: false });

  /**
   * Draw, or move what is drawn.
   * @param {State} state
   */
  show(state) {
    const { side, mode } = state;
    const built = [side, mode, state.gauge, Boolean(state.board), state.wheelOff].join();
    if (this.built !== built) this.build(state);
    this.built = built;
    this.place(state);
    this.dataset.angle = String(state.angle ?? "");
    this.svg.setAttribute("aria-label", state.words ?? "");
  }

  /** @param {State} state */
  build({ side, mode, gauge, board, wheelOff }) {
    const off = mode === "hanging" || Boolean(wheelOff);
    const p = (this.pieces = piecesOf({ mode, gauge: Boolean(gauge), board: Boolean(board), off }));
    const car = shape.group(
      side === "right" ? "car mirrored" : "car",
      p.floor, p.board, p.stand, p.body, p.wheel, p.was, ...p.ghosts, p.arm, p.bar, p.level, p.arc, p.wanted, p.tape,
      p.gauge,
    ); // prettier-ignore
    this.svg = s(
      "svg",
      { viewBox: `0 ${TOP} ${shape.WIDE} ${shape.HIGH - TOP}`, role: "img", class: `side ${side} ${mode}` },
      car,
    );
    // Words lie over the drawing, not in it, so that they stay readable however small the drawing gets.
    this.value = h("p", { class: "value", "aria-hidden": "true" });
    this.className = side;
    this.replaceChildren(
      this.svg,
      h("p", { class: "front", "aria-hidden": "true", text: side === "right" ? "front ▶" : "◀ front" }),
      this.value,
    );
  }

  /** @param {State} state */
  place({ mode, angle, unsigned, datum = 0, gauge, was, board = 0, wanted, drawn, reading, note }) {
    const p = this.pieces;
    const tape = mode === "height" || mode === "hub";
    const lift = tape || mode === "load" ? clamp(drawn ?? 0, 120) * MM : 0;
    const step = clamp(board, 90) * MM;
    const hubY = FLOOR - TYRE - step;
    let shown = angle ?? 0;
    if (tape || mode === "load") shown = (Math.asin((hubY - BAR.y + lift) / ARM) * 180) / Math.PI;
    shown = clamp(shown, 75);
    const tilt = gauge === "arm" || gauge === "datum" ? clamp(datum, 30) : 0;

    p.body.style.transform = `translateY(${-lift}px) ${turn(tilt)}`;
    p.arm.style.transform = p.bar.style.transform = `translateY(${-lift}px) ${turn(shown)}`;
    p.was.style.transform = turn(was ?? 0);
    p.was.classList.toggle("away", was === undefined);
    const split = angle === null && Boolean(unsigned);
    p.arm.classList.toggle("away", split);
    p.ghosts.forEach((ghost, i) => {
      ghost.style.transform = turn(clamp(unsigned ?? 0, 75) * (i ? -1 : 1));
      ghost.classList.toggle("away", !split);
    });
    const rad = (shown * Math.PI) / 180;
    const hub =
      tape || mode === "load"
        ? { x: LIP.x, y: hubY }
        : { x: BAR.x + ARM * Math.cos(rad), y: BAR.y + ARM * Math.sin(rad) };
    p.wheel.style.transform = `translate(${hub.x}px, ${hub.y}px)`;
    p.wheel.classList.toggle("away", split);
    const floor = p.stand ? 288 : tape || mode === "load" ? FLOOR : hub.y + TYRE;
    const hatched = [20, 90, 160, 330, 390].map((x) => `M${x} ${floor + 4} l-8 10`).join(" ");
    p.floor.setAttribute("d", `M0 ${floor} H${shape.WIDE} ${hatched}`);
    if (p.board) {
      p.board.setAttribute("y", String(FLOOR - step));
      p.board.setAttribute("height", String(step));
    }
    if (mode === "plan") this.svg.setAttribute("viewBox", `0 ${TOP} ${shape.WIDE} ${floor + 18 - TOP}`);
    this.measure({ mode, lift, hub, floor: FLOOR - step, wanted, shown, tilt, gauge, split, reading, note, was });
  }

  /**
   * Tape, gauge, arc and the figure over them.
   * @param {Measured} measured
   */
  measure({ mode, lift, hub, floor, wanted, shown, tilt, gauge, split, reading, note, was }) {
    const p = this.pieces;
    const at = { x: BAR.x, y: BAR.y };
    p.tape.replaceChildren();
    if (mode === "height") p.tape.append(shape.tapeShape(LIP.x, LIP.y - lift, floor));
    if (mode === "hub") p.tape.append(shape.tapeShape(LIP.x, LIP.y - lift, hub.y));
    if (mode === "arm")
      p.tape.append(
        s("path", { class: "ends", d: `M${BAR.x} 150 V112 M${BAR.x + ARM} 150 V112 M${BAR.x} 120 H${BAR.x + ARM}` }),
      );
    if (mode === "load")
      p.tape.append(s("path", { class: "ends push", d: `M${LIP.x} 104 V160 m-12 -16 l12 18 l12 -18` }));
    p.wanted.style.transform = `translateY(${LIP.y - clamp(wanted ?? 0, 120) * MM}px)`;
    p.wanted.classList.toggle("away", wanted === undefined);
    if (p.gauge) {
      const onArm = gauge === "arm";
      const along = onArm ? 88 : -10;
      const down = onArm ? -15 : SILL - BAR.y;
      p.gauge.style.transform =
        `translate(${at.x}px, ${at.y}px) ${turn(onArm ? shown : tilt)} ` +
        `translate(${along}px, ${down}px)${onArm ? "" : " scaleY(-1)"}`;
      p.gauge.classList.toggle("away", split);
    }
    /** @type {[from: number, to: number] | null} */
    const swept = mode === "plan" && was !== undefined ? [was, shown] : gauge === "arm" ? [tilt, shown] : null;
    const open = swept && !split && Math.abs(swept[1] - swept[0]) > 0.4;
    p.arc.setAttribute("d", swept && open ? shape.arc(ARM + 20, ...swept) : "");
    p.level.style.transform = turn(tilt);
    p.level.classList.toggle("away", gauge !== "arm");
    this.value.replaceChildren(reading ?? "", note ? h("small", { text: note }) : "");
  }
}

customElements.define("side-view", SideView);

/**
 * A side-view showing something.
 * @param {State} state
 */
export function sideView(state) {
  const view = /** @type {SideView} */ (document.createElement("side-view"));
  view.show(state);
  return view;
}
