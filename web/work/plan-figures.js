/* Figures of a plan in the unit chosen, each with the range that holds 90 in 100. An estimate in inches is told to the
   nearest sixteenth: finer would be more than is known. */

import { NINETY, plain } from "./numbers.js";
import { inchText, inches, masses, toInches, toMm } from "./units.js";

/** @typedef {{value: number, sd: number}} Estimate one standard deviation, metric */

const SIXTEENTHS = 16;
/** @param {number} mm */
const toSixteenth = (mm) => toMm(Math.round(toInches(mm) * SIXTEENTHS) / SIXTEENTHS);

/** The unit of lengths. */
export const lengthUnit = () => (inches() ? "in" : "mm");

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
  `${plain(figure(value), places)} ± ${plain(figure(NINETY * sd), places)} ${unit}`;

/** Lengths of the engineers' figures, from mm, in the unit chosen. */
export const fineLengths = () =>
  inches()
    ? { figure: toInches, unit: "in", places: 2 }
    : { figure: (/** @type {number} */ mm) => mm, unit: "mm", places: 1 };

const N_PER_MM_PER_LBF_PER_INCH = 0.1751268;
/** Stiffness, from N/mm, in the unit chosen. */
export const stiffnesses = () =>
  inches()
    ? { figure: (/** @type {number} */ value) => value / N_PER_MM_PER_LBF_PER_INCH, unit: "lbf/in" }
    : { figure: (/** @type {number} */ value) => value, unit: "N/mm" };

/** Loads, from kg, in the unit chosen. */
export const loads = masses;

const MPA_PER_KSI = 6.894757;
/** Stress, from MPa, in the unit chosen. */
export const stresses = () =>
  inches()
    ? { figure: (/** @type {number} */ value) => value / MPA_PER_KSI, unit: "ksi" }
    : { figure: (/** @type {number} */ value) => value, unit: "MPa" };
