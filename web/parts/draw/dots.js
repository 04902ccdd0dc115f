/* A single reading as it may come out: twenty dots on the gauge's scale, each for 5 in 100, with ticks where it would
   be had one tooth too many or too few been turned. */

import { circle, path, Sheet } from "./pen.js";

/** @typedef {{at: number, text: string}} Tick */

const WIDE = 400;
const EDGE = 22;
const LINE = 104;
const R = 7;

/** The middles of twenty equal parts of a normal distribution, by halving: no table, no random number.
 * @param {number} mean @param {number} sd @returns {number[]} */
export function quantiles(mean, sd) {
  return Array.from({ length: 20 }, (_, i) => mean + sd * inverse((i + 0.5) / 20));
}

/** The normal distribution below z, by its series (Abramowitz and Stegun 26.2.10).
 * @param {number} z @returns {number} */
function below(z) {
  let term = z;
  let sum = z;
  for (let k = 1; k < 60; k++) {
    term *= (-z * z) / (2 * k);
    sum += term / (2 * k + 1);
  }
  return 0.5 + sum / Math.sqrt(2 * Math.PI);
}

/** @param {number} p @returns {number} */
function inverse(p) {
  let [low, high] = [-4, 4];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (below(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Twenty dots on a scale, 400 by 150 units. `ticks` such as one tooth inner or outer, each with its words; `marks`
 * the scale's own figures; `read` what was read, where it was. All in one unit, texts worded by the caller. At most
 * two ticks have words above the scale, the first on the upper line.
 * @param {{mean: number, sd: number, ticks?: Tick[], marks?: Tick[], read?: Tick, label: string}} about
 * @returns {HTMLElement} */
export function dotplot({ mean, sd, ticks = [], marks = [], read, label }) {
  const sheet = new Sheet({ wide: WIDE, high: 146, label, cls: "dots" });
  const values = quantiles(mean, sd);
  const all = [...values, ...ticks.map((t) => t.at), ...marks.map((m) => m.at), ...(read ? [read.at] : [])];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const scale = (WIDE - 2 * EDGE) / Math.max(1e-9, high - low);
  const at = (/** @type {number} */ value) => EDGE + (value - low) * scale;
  sheet.add(path("edge", `M6 ${LINE} H${WIDE - 6}`));

  /** @type {Map<number, number>} */
  const stacks = new Map();
  const most = Math.max(1, ...counts(values.map((value) => Math.round(at(value) / (2 * R)))));
  const rise = Math.min(2 * R, 70 / most);
  for (const value of values) {
    const column = Math.round(at(value) / (2 * R));
    const height = stacks.get(column) ?? 0;
    stacks.set(column, height + 1);
    sheet.add(circle("dot", { x: column * 2 * R, y: LINE - R - 1 - height * rise }, Math.min(R - 0.6, rise / 2 + 1.5)));
  }
  ticks.slice(0, 2).forEach(({ at: value, text }, i) => {
    const x = at(value);
    const y = i === 0 ? 22 : 46;
    sheet.add(path("dashed-edge", `M${x} ${y + 4} V${LINE + 8}`));
    placed(sheet, x, y, text, "word");
  });
  for (const { at: value, text } of marks) {
    sheet.add(path("edge", `M${at(value)} ${LINE} v9`));
    placed(sheet, at(value), LINE + 32, text, "figure small-figure");
  }
  if (read) sheet.add(path("read", `M${at(read.at)} ${LINE + 2} l10 16 h-20 Z`));
  return sheet.done();
}

/** @param {number[]} columns @returns {number[]} */
function counts(columns) {
  return columns.map((column) => columns.filter((other) => other === column).length);
}

/** Words at a place on the scale, kept inside the picture.
 * @param {Sheet} sheet @param {number} x @param {number} y @param {string} text @param {string} cls */
function placed(sheet, x, y, text, cls) {
  const anchor = x < 130 ? "start" : x > WIDE - 130 ? "end" : "middle";
  const edge = anchor === "start" ? Math.max(4, x - 18) : anchor === "end" ? Math.min(WIDE - 4, x + 18) : x;
  sheet.word(edge, y, text, { anchor, cls });
}
