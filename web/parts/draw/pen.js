/* The one pen of every drawing: a sheet of so many units that is mirrored for the right side while its words are
   not, hatching whose id no other drawing has, arrows, and words. Owns how lines look by their class;
   web/style/draw.css gives the classes their colours.

   Words come in two ranks: `word` and `figure`. Under 120 pixels of height the words go and the figures stay. */

import { h, s } from "../dom.js";

/** @typedef {"left" | "right"} Side */
/** @typedef {SVGElement | null | undefined | false} Piece */
/** @typedef {{x: number, y: number}} Point */
/** @typedef {{anchor?: "start" | "middle" | "end", cls?: string}} Lettering */

let drawn = 0;

/** A point at `radius` and `deg` about `at`; degrees grow downwards, 0 points to the tail on the left side.
 * @param {Point} at @param {number} radius @param {number} deg @returns {Point} */
export function polar(at, radius, deg) {
  const a = (deg * Math.PI) / 180;
  return { x: at.x + radius * Math.cos(a), y: at.y + radius * Math.sin(a) };
}

/** @param {number} value @returns {string} */
const n = (value) => String(Math.round(value * 10) / 10);

/** A point as a path has it.
 * @param {Point} p @returns {string} */
export const xy = (p) => `${n(p.x)} ${n(p.y)}`;

/** @param {number} value @param {number} least @param {number} most @returns {number} */
export const clamp = (value, least, most) => Math.min(most, Math.max(least, value));

/** @param {string} cls @param {...(Piece | Piece[])} children @returns {SVGElement} */
export const group = (cls, ...children) => s("g", { class: cls }, ...children);

/** @param {string} cls @param {string} d @returns {SVGElement} */
export const path = (cls, d) => s("path", { class: cls, d });

/** @param {string} cls @param {Point} at @param {number} r @returns {SVGElement} */
export const circle = (cls, at, r) => s("circle", { class: cls, cx: n(at.x), cy: n(at.y), r });

/** An arc about `at` from one angle to another, as a path.
 * @param {Point} at @param {number} radius @param {number} from @param {number} to @returns {string} */
export function arc(at, radius, from, to) {
  const large = Math.abs(to - from) > 180 ? 1 : 0;
  const way = to > from ? 1 : 0;
  return `M${xy(polar(at, radius, from))} A${radius} ${radius} 0 ${large} ${way} ${xy(polar(at, radius, to))}`;
}

/** A curved arrow about `at`: its line, and a head at `to`. Nothing where both are the same.
 * @param {Point} at @param {number} radius @param {number} from @param {number} to @param {number} [head]
 * @returns {string} */
export function arrow(at, radius, from, to, head = 13) {
  if (Math.abs(to - from) < 0.3) return "";
  const way = to > from ? 1 : -1;
  const tip = polar(at, radius, to);
  const back = (/** @type {number} */ turn) => polar(tip, head, to - way * 90 + turn);
  return `${arc(at, radius, from, to)} M${xy(back(-36))} L${xy(tip)} L${xy(back(36))}`;
}

/** A straight arrow.
 * @param {Point} from @param {Point} to @param {number} [head] @returns {string} */
export function straight(from, to, head = 12) {
  const deg = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  const back = (/** @type {number} */ turn) => polar(to, head, deg + 180 + turn);
  return `M${xy(from)} L${xy(to)} M${xy(back(-38))} L${xy(to)} L${xy(back(38))}`;
}

/** Short lines round a circle: the teeth of a spline.
 * @param {Point} at @param {number} inner @param {number} outer @param {number} count @returns {SVGElement} */
export function teeth(at, inner, outer, count) {
  let d = "";
  for (let i = 0; i < count; i++) {
    const deg = (360 * i) / count;
    d += `M${xy(polar(at, inner, deg))} L${xy(polar(at, outer, deg))} `;
  }
  return path("tooth", d.trim());
}

/** The floor with its hatching, at a height.
 * @param {number} y @param {number} wide @returns {SVGElement} */
export function floor(y, wide) {
  let d = `M0 ${n(y)} H${wide}`;
  for (let x = 22; x < wide; x += 52) d += ` M${x} ${n(y + 3)} l-8 9`;
  return path("floor", d);
}

/** One drawing in the making: shapes are mirrored for the right side, words are put where they then belong. */
export class Sheet {
  /** @param {{wide: number, high: number, side?: Side, label: string, cls?: string}} about */
  constructor({ wide, high, side = "left", label, cls = "" }) {
    drawn += 1;
    this.id = `drawn-${drawn}`;
    this.wide = wide;
    this.side = side;
    this.mirrored = side === "right";
    this.shapes = s("g", this.mirrored ? { transform: `translate(${wide} 0) scale(-1 1)` } : {});
    this.words = s("g", { class: "words" });
    this.defs = s("defs", {});
    this.svg = s(
      "svg",
      {
        viewBox: `0 0 ${wide} ${high}`,
        class: `pen ${side} ${cls}`.trim(),
        role: "img",
        "aria-label": label,
      },
      this.defs,
      this.shapes,
      this.words,
    );
    this.shape = `${wide} / ${high}`;
  }

  /** Hatching of this drawing: "fixed" (stays), "gate" (target, keep out). Gives what `fill` takes.
   * @param {"fixed" | "gate"} kind @param {number} [gap] @returns {string} */
  hatch(kind, gap = 7) {
    const id = `${this.id}-${kind}-${gap}`;
    if (!this.defs.querySelector(`[id="${id}"]`))
      this.defs.append(
        s(
          "pattern",
          {
            id,
            width: gap,
            height: gap,
            patternUnits: "userSpaceOnUse",
            patternTransform: `rotate(${kind === "fixed" ? -45 : 45})`,
          },
          s("path", { class: `hatch ${kind}`, d: `M0 0 V${gap}` }),
        ),
      );
    return `url(#${id})`;
  }

  /** Hatching alone.
   * @param {"fixed" | "gate"} kind @param {string} d @param {number} [gap] @returns {SVGElement} */
  hatching(kind, d, gap) {
    const shape = path("hatching", d);
    shape.style.fill = this.hatch(kind, gap);
    return shape;
  }

  /** A hatched shape: its ground, its hatching and its outline.
   * @param {"fixed" | "gate"} kind @param {string} d @param {number} [gap] @returns {SVGElement} */
  hatched(kind, d, gap) {
    return group(`hatched ${kind}-part`, path("ground", d), this.hatching(kind, d, gap), path("edge", d));
  }

  /** @param {...(Piece | Piece[])} pieces @returns {this} */
  add(...pieces) {
    this.shapes.append(...pieces.flat().filter((piece) => piece instanceof SVGElement));
    return this;
  }

  /** Words at a point of the unmirrored drawing; `at` gives the end nearer to the front as "start".
   * @param {number} x @param {number} y @param {string} text @param {Lettering} [how] @returns {SVGElement} */
  word(x, y, text, { anchor = "start", cls = "word" } = {}) {
    const turned = { start: "end", middle: "middle", end: "start" };
    const element = s("text", {
      class: cls,
      x: n(this.mirrored ? this.wide - x : x),
      y: n(y),
      "text-anchor": this.mirrored ? turned[anchor] : anchor,
      text,
    });
    this.words.append(element);
    return element;
  }

  /** Words with a line to what they name.
   * @param {number} x @param {number} y @param {string} text @param {Point} to @param {Lettering} [how]
   * @param {Point} [from] @returns {this} */
  named(x, y, text, to, how, from) {
    this.add(path("leader", `M${xy(from ?? { x, y: y + 6 })} L${xy(to)}`));
    this.word(x, y, text, how);
    return this;
  }

  /** That it is seen from the front, and on paper which side this is. */
  fromFront() {
    this.word(8, 24, "from the front", { cls: "word soft tight" });
    this.word(150, 24, `${this.side} side`, { cls: "word soft paper-only" });
  }

  /** Where the front of the car is, and on paper which side this is.
   * @param {number} [y] @returns {this} */
  front(y = 24) {
    this.add(path("front", `M20 ${y - 13} L8 ${y - 6} L20 ${y + 1} Z`));
    this.word(26, y, "front", { cls: "word soft" });
    this.word(96, y, `${this.side} side`, { cls: "word soft paper-only" });
    return this;
  }

  /** The finished drawing, in a box that takes the room it is given, or its own shape where none is given.
   * @returns {HTMLElement} */
  done() {
    const box = h("div", { cls: "drawing" }, this.svg);
    box.style.aspectRatio = this.shape;
    return box;
  }
}
