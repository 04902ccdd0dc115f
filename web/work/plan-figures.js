/* Figures of a plan in the unit chosen, each with the range that holds 90 in 100. An estimate in inches is told to the
   nearest sixteenth: finer would be more than is known. */

import { NINETY, plain, spread } from "./numbers.js";
import { inchText, inches, lengthUnit, toInches, toMm } from "./units.js";

/** @typedef {{value: number, sd: number}} Estimate one standard deviation, metric */

const SIXTEENTHS = 16;
/** @param {number} mm */
const toSixteenth = (mm) => toMm(Math.round(toInches(mm) * SIXTEENTHS) / SIXTEENTHS);

/**
 * A length without its unit: "250", "9 13/16".
 * @param {number} mm
 */
export const figureOf = (mm) => (inches() ? inchText(toSixteenth(mm)) : plain(mm, 0));

/**
 * The range around a length: "± 5", never "± 0".
 * @param {number} sd one standard deviation, mm
 */
export function rangeOf(sd) {
  const mm = NINETY * sd;
  return `± ${inches() ? inchText(Math.max(toMm(1 / SIXTEENTHS), toSixteenth(mm))) : plain(Math.max(1, mm), 0)}`;
}

/**
 * "250 ± 5 mm", "9 13/16 ± 3/16 in".
 * @param {Estimate} estimate mm
 */
export const about = ({ value, sd }) => `${figureOf(value)} ${rangeOf(sd)} ${lengthUnit()}`;

/**
 * "+40", "−12": by how much a side rises, without its unit.
 * @param {number} mm
 */
export const riseOf = (mm) => (figureOf(mm).startsWith("−") || figureOf(mm) === "0" ? "" : "+") + figureOf(mm);

/**
 * An estimate in any unit with its range: "57.9 ± 1.8 N·m per degree".
 * @param {Estimate} estimate
 * @param {{figure: (value: number) => number, unit: string}} unit
 * @param {number} [places]
 */
export const within = ({ value, sd }, { figure, unit }, places = 0) =>
  spread({ value: figure(value), sd: figure(sd) }, unit, places);

/** Lengths of the engineers' figures, from mm, in the unit chosen. */
export const fineLengths = () =>
  inches()
    ? { figure: toInches, unit: "in", places: 2 }
    : { figure: (/** @type {number} */ mm) => mm, unit: "mm", places: 1 };
