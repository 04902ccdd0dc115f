/* Lengths as this shop measures them: millimetres, or inches with fractions. Converts at the edge only: everything
   behind a field or a sentence is millimetres. Which of them is chosen is kept by book/lengths.js; who measures in
   inches is told forces, turning moments and masses in pounds too. Angles and teeth have one unit each. */

import { NINETY, decimalMark, plain, short, spread } from "./numbers.js";

export const MM_PER_INCH = 25.4;
/** Standard gravity, m/s2. */
export const G = 9.80665;
/** Pounds, by definition of 1959: the mass, and the force of it under standard gravity. */
export const KG_PER_POUND = 0.45359237;
const N_PER_LBF = KG_PER_POUND * G;
const NM_PER_LBF_FT = (N_PER_LBF * 12 * MM_PER_INCH) / 1000;
const KSI = 1000;
/** @type {"mm" | "in"} */
let chosen = "mm";

/** "mm" or "in". */
export const lengths = () => chosen;

/**
 * Say lengths in this unit from now on.
 * @param {"mm" | "in"} unit
 */
export function useLengths(unit) {
  chosen = unit;
}

/** Whether lengths are typed in inches. */
export const inches = () => lengths() === "in";

/** The unit of lengths where there is room for one. */
export const lengthUnit = () => (inches() ? "in" : "mm");

/** @param {number} mm */
export const toInches = (mm) => mm / MM_PER_INCH;
/** @param {number} inch */
export const toMm = (inch) => inch * MM_PER_INCH;

/**
 * An inch figure for people: to the sixteenth where it is one, else two decimals: "8 1/4", "8.43".
 * @param {number} mm
 */
export function inchText(mm) {
  const inch = Math.abs(toInches(mm));
  const sixteenths = Math.round(inch * 16);
  const sign = mm < 0 && sixteenths ? "−" : "";
  if (Math.abs(inch * 16 - sixteenths) > 0.02) return sign + inch.toFixed(2).replace(".", decimalMark);
  let [top, bottom] = [sixteenths % 16, 16];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const whole = Math.floor(sixteenths / 16);
  return sign + (top ? `${whole ? `${whole} ` : ""}${top}/${bottom}` : String(whole));
}

/**
 * A request whose answer has its sentences in the unit chosen: the model writes them, nobody converts them.
 * @template {object} R
 * @param {R} request
 * @returns {R & { units?: "inch" }}
 */
export const inUnits = (request) => (inches() ? { ...request, units: "inch" } : request);

/**
 * In the unit chosen alone: "214 mm", "8.43 in".
 * @param {number} mm
 */
export const length = (mm, places = 0) => (inches() ? `${inchText(mm)} in` : `${plain(mm, places)} mm`);

/**
 * The same in both where inches are used, for paper, which whoever gets it cannot ask again: "8.43 in (214 mm)".
 * @param {number} mm
 */
export const onPaper = (mm, places = 0) => (inches() ? `${length(mm)} (${plain(mm, places)} mm)` : length(mm, places));

/**
 * The same with a tenth only where there is one; figure and unit stay on one line.
 * @param {number} mm
 */
export function brief(mm) {
  const tenths = Number(mm.toFixed(1));
  return inches() ? `${inchText(mm)}\u00a0in` : `${plain(tenths, Number.isInteger(tenths) ? 0 : 1)}\u00a0mm`;
}

/**
 * "250 ± 3 mm", or "9.84 ± 0.13 in": ± is the range that holds 90 in 100.
 * @param {{ value: number, sd: number }} estimate mm, one standard deviation in `sd`
 */
export const lengthSpread = (estimate, places = 0) =>
  inches() ? `${bareSpread(estimate)} in` : spread(estimate, "mm", places);

/**
 * The same in both units where inches are used, for paper: "9.84 ± 0.13 in (250 ± 3 mm)".
 * @param {{ value: number, sd: number }} estimate
 */
export const spreadOnPaper = (estimate, places = 0) =>
  inches() ? `${lengthSpread(estimate)} (${spread(estimate, "mm", places)})` : lengthSpread(estimate, places);

/**
 * A length and the range that holds 90 in 100 in the unit chosen alone, which is not said: "250 ± 3", "9.84 ± 0.12".
 * @param {{ value: number, sd: number }} estimate mm, one standard deviation in `sd`
 */
export function bareSpread({ value, sd }) {
  const figure = (/** @type {number} */ mm) => (inches() ? plain(toInches(mm), 2) : plain(mm, 0));
  return `${figure(value)} ± ${figure(NINETY * sd)}`;
}

/**
 * How a number of a question is said: "214 mm", "3.1°", "40"; a length in the unit chosen.
 * @param {string} unit
 * @returns {(value: number) => string}
 */
export const wordsIn = (unit) => (value) =>
  unit.trim() === "mm" && inches() ? length(value) : `${short(value)}${unit}`;

/**
 * What the table of facts assumes, its lengths in the unit chosen: "± 3 mm" is "± 0.12 in".
 * @param {string} text
 */
export function lengthsIn(text) {
  if (!inches()) return text;
  const figure = /\d+(?:\.\d+)?/g;
  return text.replace(
    /(?:(?:\d+(?:\.\d+)? )?± )?\d+(?:\.\d+)? mm(?!\w)/g,
    (mm) => `${mm.slice(0, -3).replace(figure, (one) => plain(toInches(Number(one)), 2))} in`,
  );
}

/**
 * A quantity in the unit chosen: its figure, the unit's name, the metric unit's, and how many decimals more than the
 * metric figure's it takes.
 * @typedef {{figure: (value: number) => number, unit: string, metric: string, finer?: number}} Unit
 */

/**
 * An estimate in the unit chosen: "12.3 ± 0.4 N/mm", "70.2 ± 2.3 lbf/in".
 * @param {{ value: number, sd: number }} estimate in the metric unit, one standard deviation in `sd`
 * @param {Unit} unit
 * @param {number} places decimals of the metric figure
 */
export const estimateIn = ({ value, sd }, { figure, unit, finer = 0 }, places) =>
  spread({ value: figure(value), sd: figure(sd) }, unit, places + finer);

/**
 * The same in both units where inches are used, for paper: "70.2 ± 2.3 lbf/in (12.3 ± 0.4 N/mm)".
 * @param {{ value: number, sd: number }} estimate
 * @param {Unit} unit
 * @param {number} places
 */
export const estimateOnPaper = (estimate, unit, places) =>
  inches()
    ? `${estimateIn(estimate, unit, places)} (${spread(estimate, unit.metric, places)})`
    : estimateIn(estimate, unit, places);

/** What a value of these is in the unit chosen. @returns {Unit} */
const pick = (/** @type {string} */ metric, /** @type {string} */ pounds, /** @type {number} */ per) =>
  inches()
    ? { figure: (value) => value / per, unit: pounds, metric }
    : { figure: (value) => value, unit: metric, metric };

/** Lengths where their unit stands apart, from millimetres; "8.43", not "8 7/16". */
export const spans = () => ({ ...pick("mm", "in", MM_PER_INCH), finer: inches() ? 1 : 0 });
/** Forces, from newtons. */
export const forces = () => pick("N", "lbf", N_PER_LBF);
/** Turning moments, from newton metres. */
export const moments = () => pick("N·m", "lbf·ft", NM_PER_LBF_FT);
/** What turning takes a degree, from N·m per degree. @returns {Unit} */
export function turningRates() {
  const { figure, unit, metric } = moments();
  return { figure, unit: `${unit} per degree`, metric: `${metric} per degree` };
}
/** Energy that is stored, from joules. */
export const energies = () => pick("J", "ft·lbf", NM_PER_LBF_FT);
/** Masses and loads, from kilograms. */
export const masses = () => pick("kg", "lb", KG_PER_POUND);
/** Stiffness, from N/mm. */
export const stiffnesses = () => pick("N/mm", "lbf/in", N_PER_LBF / MM_PER_INCH);
/** Stress, from MPa. */
export const stresses = () => pick("MPa", "ksi", (KSI * N_PER_LBF) / MM_PER_INCH ** 2);
