/* Slips of the hand that can be named while a figure is typed: inches or centimetres for millimetres, pounds for
   kilograms, a decimal point left out, an arm's way that the other side contradicts. Pure: what is typed and what
   was read before go in, what it likely was comes out. The model checks the rest once it is kept
   (reading-query.js).

   What a first reading is held against is what rear-engined and trailing-arm cars are built to: common practice,
   no source. */

import { BELIEFS, USUAL_HEIGHT_MM } from "../model/facts.js";
import { angle, plain } from "./numbers.js";
import { KG_PER_POUND, MM_PER_INCH, inchText, inches, lengthUnit } from "./units.js";

/**
 * @typedef {{value: number, question: string, take: string}} Slip value: what it would be, in the unit of the
 *   question
 */
/** @typedef {{kind: string, value: number | null, size: number | null, others: number[], across?: number | null}} Typed
 *   `kind` of reading or a fact's path, `value` with its sign or null, `size` without, `others` read before at the same
 *   place or its like, `across` the other side's angle */

const CM = 10;
/** Others of one car are alike within this factor, a figure to be put right within the nearer one. */
const ALIKE = 1.9;
const NEAR = 1.5;
/** A first height is no surprise that is like one of the model's usual ones, mm. */
const [LOW, HIGH] = USUAL_HEIGHT_MM;
const HEIGHTS = [LOW / ALIKE, HIGH * ALIKE];
/** Between these a first reading surprises nobody; mm, kg, degrees. */
const USUAL = {
  "body-height": HEIGHTS,
  "hub-to-body": [120, 700],
  "car.arm_mm": [250, 700],
  "target-height": HEIGHTS,
  "target-change": [1, 250],
  "wheel-load": [100, 900],
  "riding-angle": [0, 45],
  "hanging-angle": [0, 60],
};
/** Of several lengths that a figure may have been, the one nearest to this is asked about, mm.
 * @type {Record<string, number>} */
const MIDDLE = {
  "body-height": Math.sqrt(LOW * HIGH),
  "hub-to-body": 350,
  "car.arm_mm": BELIEFS.ARM_MM,
  "target-height": Math.sqrt(LOW * HIGH),
  "target-change": 40,
};
/** A slope below this may well differ in sign from one side to the other, degrees. */
const FLAT = 3;

const apart = (/** @type {number} */ a, /** @type {number} */ b) => Math.abs(Math.log(Math.abs(a) / Math.abs(b)));
const middle = (/** @type {number[]} */ all) => [...all].sort((a, b) => a - b)[Math.floor(all.length / 2)];
const figure = (/** @type {number} */ value) => plain(value, Number.isInteger(value) ? 0 : 1);

/** A length as the field shows it. */
const shown = (/** @type {number} */ mm) => (inches() ? `${inchText(mm)} in` : `${figure(mm)} mm`);

/** To what can be read: whole millimetres and kilograms, tenths of a degree and of what is small.
 * @param {number} size @param {string} unit */
const rounded = (size, unit) => Number(size.toFixed(unit === "°" || size < 50 ? 1 : 0));

/** @type {Record<string, [string, number][]>} what a figure may have been, and the factor that puts it right */
const FACTORS = {
  mm: [
    ["inches", MM_PER_INCH],
    ["centimetres", CM],
  ],
  in: [
    ["millimetres", 1 / MM_PER_INCH],
    ["centimetres", CM / MM_PER_INCH ** 2],
  ],
  kg: [["pounds", KG_PER_POUND]],
  "°": [["without its point", 1 / 10]],
};

const unitOf = (/** @type {string} */ kind) =>
  kind.endsWith("angle") ? "°" : kind === "wheel-load" ? "kg" : lengthUnit();

/** Whether a size is like those read before, or a usual one where nothing was. */
function fits(/** @type {string} */ kind, /** @type {number} */ size, /** @type {number[]} */ others, factor = ALIKE) {
  if (others.length && !kind.endsWith("angle")) return apart(size, middle(others)) <= Math.log(factor);
  const [low, high] = USUAL[/** @type {keyof typeof USUAL} */ (kind)];
  return size >= low && size <= high;
}

/** A figure with its unit.
 * @param {number} one @param {string} unit */
const said = (one, unit) => (unit === "°" ? `${plain(one, 1)}°` : unit === "kg" ? `${figure(one)} kg` : shown(one));

/**
 * A figure of the wrong size: in another unit, or without its point.
 * @param {Typed & {size: number}} typed
 * @returns {Slip | null}
 */
function wrongUnit({ kind, value, size, others }) {
  const unit = unitOf(kind);
  const near = others.length ? middle(others) : (MIDDLE[kind] ?? size);
  const found = FACTORS[unit]
    .map(([name, factor]) => ({ name, size: rounded(size * factor, unit) }))
    .filter((each) => fits(kind, each.size, others, NEAR))
    .sort((a, b) => apart(a.size, near) - apart(b.size, near))[0];
  if (!found) return null;
  const place = others.length ? ` beside ${said(near, unit)}` : "";
  const sign = value !== null && value < 0 ? -1 : 1;
  return {
    value: sign * found.size,
    question: `${said(size, unit)}${place}: ${found.name}?`,
    take: `Use ${said(found.size, unit)}`,
  };
}

/**
 * What a figure likely was, or null.
 * @param {Typed} typed
 * @returns {Slip | null}
 */
export function slipOf({ kind, value, size, others, across = null }) {
  if (!size || !(kind in USUAL)) return null;
  const beside = others.filter((other) => other !== 0);
  if (!fits(kind, size, beside)) return wrongUnit({ kind, value, size, others: beside });
  if (kind !== "riding-angle" || !value || !across) return null;
  // Both arms of a car standing on its wheels slope the same way, unless they lie nearly level.
  if (Math.sign(value) === Math.sign(across) || size <= FLAT || Math.abs(across) <= FLAT) return null;
  const question = `${angle(value)} beside ${angle(across)}: the other way?`;
  return { value: -value, question, take: `Use ${angle(-value)}` };
}

/**
 * Whether a slip may be named before the figure has rested: a figure with a point or a fraction is no mere beginning.
 * @param {string} text as typed
 * @returns {boolean}
 */
export const saysEnough = (text) => /[.,/]\d/.test(text);
