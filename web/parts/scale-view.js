/* <scale-view>: one rear corner now (dashed) and then (solid), drawn to scale: the arm's length and angle, the body's
   rise, the height over the floor. One unit of the drawing is a millimetre.

   Only the wheel and the body's outline are a likeness. Built once; moves by attributes, so that a slider can lead it. */

import { h, s } from "./dom.js";

const WHEEL = 290;
const RISE_MOST = 400;
const TAPE = WHEEL + 110;

/** @import { Side } from "../types/sheet.d.ts" */

/** @typedef {{ riding_deg: number, height_mm: number }} Standing */
/**
 * @typedef {object} Shown
 * @property {Side} side
 * @property {number} arm_mm
 * @property {Standing} now
 * @property {Standing} then
 * @property {string} nowText
 * @property {string} thenText
 * @property {string} words
 */
/** @typedef {"body" | "was" | "arm" | "wasArm" | "tape" | "nowMark" | "thenMark"} Piece */

class ScaleView extends HTMLElement {
  built = "";
  pieces = /** @type {Record<Piece, SVGElement>} */ ({});
  svg = s("svg");
  nowWords = h("p");
  thenWords = h("p");

  /** @param {Shown} state */
  show(state) {
    const built = [state.side, state.arm_mm].join();
    if (this.built !== built) this.build(state);
    this.built = built;
    this.place(state);
  }

  /** @param {Pick<Shown, "side" | "arm_mm">} state */
  build({ side, arm_mm: arm }) {
    const ahead = side === "right" ? -1 : 1;
    // The left side has the front to the left; the right side is its mirror, but for the words.
    /** @type {(cls: string, ...inner: SVGElement[]) => SVGElement} */
    const group = (cls, ...inner) => s("g", { class: cls }, ...inner);
    const armShape = (/** @type {string} */ cls) =>
      group(
        cls,
        s("path", { class: "plate", d: `M0 -16 L${-arm} -34 A34 34 0 0 0 ${-arm} 34 L0 16 A16 16 0 0 0 0 -16 Z` }),
        s("circle", { class: "core", cx: -arm, cy: 0, r: 13 }),
      );
    const sill = WHEEL - 90;
    const arch = WHEEL + 45;
    const body = (/** @type {string} */ cls) =>
      s("path", {
        class: cls,
        d:
          `M${-arm - 170} ${-sill} V-640 Q-60 -720 ${WHEEL + 50} -600 V${-WHEEL} H${arch} ` +
          `A${arch} ${arch} 0 0 0 ${-arch} ${-WHEEL} V${-sill} Z`,
      });
    this.pieces = {
      body: body("panel"), was: body("ghost body"), arm: armShape("arm"), wasArm: armShape("arm ghost"),
      tape: s("path", { class: "tape-line" }),
      nowMark: s("path", { class: "mark-line was" }), thenMark: s("path", { class: "mark-line" }),
    }; // prettier-ignore
    const p = this.pieces;
    this.svg = s(
      "svg",
      { role: "img", class: `scale ${side}` },
      s(
        "g",
        { transform: `scale(${ahead} 1)` },
        s("path", { class: "floor", d: `M${-arm - 200} 0 H${TAPE + 130}` }),
        s("circle", { class: "tyre", cx: 0, cy: -WHEEL, r: WHEEL - 28 }),
        p.body, p.was, p.wasArm, p.arm,
        s("circle", { class: "hub", cx: 0, cy: -WHEEL, r: 18 }),
        p.tape, p.nowMark, p.thenMark,
      ),
    ); // prettier-ignore
    this.nowWords = h("p", { class: "now-words", "aria-hidden": "true" });
    this.thenWords = h("p", { class: "then-words", "aria-hidden": "true" });
    this.className = side;
    this.replaceChildren(
      this.svg,
      h("p", { class: "front", "aria-hidden": "true", text: side === "right" ? "front ▶" : "◀ front" }),
      h("div", { class: "legend" }, this.nowWords, this.thenWords),
    );
    const [from, to] = [-arm - 210, TAPE + 140];
    const top = 740 + 60;
    this.svg.setAttribute("viewBox", `${ahead > 0 ? from : -to} ${-top} ${to - from} ${top + 30}`);
  }

  /** @param {Shown} state */
  place({ now, then, nowText, thenText, words }) {
    const p = this.pieces;
    const rise = Math.max(-RISE_MOST, Math.min(RISE_MOST, then.height_mm - now.height_mm));
    p.body.setAttribute("transform", `translate(0 ${-rise})`);
    p.arm.setAttribute("transform", `translate(0 ${-WHEEL}) rotate(${then.riding_deg})`);
    p.wasArm.setAttribute("transform", `translate(0 ${-WHEEL}) rotate(${now.riding_deg})`);
    const shown = (/** @type {number} */ mm) => Math.min(mm, 760);
    p.tape.setAttribute("d", `M${TAPE} 0 V${-shown(then.height_mm)}`);
    p.nowMark.setAttribute("d", `M${TAPE - 70} ${-shown(now.height_mm)} h150`);
    p.thenMark.setAttribute("d", `M${TAPE - 70} ${-shown(then.height_mm)} h150`);
    this.svg.setAttribute("aria-label", words);
    this.nowWords.textContent = nowText;
    this.thenWords.textContent = thenText;
  }
}

customElements.define("scale-view", ScaleView);

/**
 * A scale-view showing something.
 * @param {Shown} state
 */
export function scaleView(state) {
  const view = /** @type {ScaleView} */ (document.createElement("scale-view"));
  view.show(state);
  return view;
}
