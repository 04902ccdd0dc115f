/* What it takes to lift an arm onto its stop, or to let it down, in figures that mean something to a hand, in the units
   chosen. */

import { plain } from "./numbers.js";
import { G, energies, forces, inches, masses, moments, toInches } from "./units.js";

/** What is said to fall, in the unit of masses that is chosen. */
const FALLING = { kg: 10, lb: 20 };
const MM_PER_M = 1000;

/** @typedef {{torque_nm: number, energy_j: number, force_n: number}} Lift */
/** @typedef {Lift & {assumed?: boolean, low?: Lift, high?: Lift}} Lifts */

/**
 * Both ends of a lift's range where the stop was not measured, else the one figure.
 * @param {Lifts} lift
 * @returns {Lift[]}
 */
const endsOf = (lift) => (lift.assumed && lift.low && lift.high ? [lift.low, lift.high] : [lift]);

/**
 * Whether nothing is to be lifted: only where even the high end is nothing, for a middle of nothing may still be a
 * loaded bar.
 * @param {Lifts} lift
 */
export const isNothing = (lift) => /** @type {Lift} */ (endsOf(lift).at(-1)).torque_nm <= 0;

/** The least force of a range: a bar that may be relaxed is loaded with nothing, never with less. @param {Lift} end */
const forceOf = (end) => Math.max(0, end.force_n);

/**
 * The force as a warning has it: {low, high, unit}, one figure in both where the stop was measured. A range says that
 * it is assumed.
 * @param {Lifts} lift
 * @returns {{low: string, high: string, unit: string, range: boolean}}
 */
export function liftRange(lift) {
  const ends = endsOf(lift);
  const { figure, unit } = forces();
  const [low, high] = [ends[0], /** @type {Lift} */ (ends.at(-1))].map((end) => plain(figure(forceOf(end)), 0));
  return { low, high, unit: lift.assumed ? `${unit}, assumed` : unit, range: ends.length > 1 };
}

/**
 * A lift in words, or null where there is nothing to lift.
 * @param {Lifts | null | undefined} lift
 * @returns {{force: string, more: string, fall: string, energy: string, kilograms: string, torque: string} | null}
 */
export function liftWords(lift) {
  if (!lift || isNothing(lift)) return null;
  const ends = endsOf(lift);
  const most = /** @type {Lift} */ (ends.at(-1));
  /** @param {(end: Lift) => number} of @param {{figure: (value: number) => number, unit: string}} in_ */
  const range = (of, { figure, unit }) =>
    `${ends.map((end) => plain(figure(Math.max(0, of(end))), 0)).join(" to ")} ${unit}`;
  const kilograms = `as much as ${range((end) => end.force_n / G, masses())}`;
  const torque = `${range((end) => end.torque_nm, moments())} at the bar`;
  const energy = range((end) => end.energy_j, energies());
  const force = range((end) => end.force_n, forces());
  return {
    force: ends.length > 1 ? `${force}, assumed` : force,
    more: `at the wheel end, ${kilograms}; ${torque}, ${energy} stored`,
    fall: `${ends.length > 1 ? "up to " : ""}${fallWords(most.energy_j)}`,
    energy,
    kilograms,
    torque,
  };
}

/** "38 J, as 10 kg falling 39 cm". @param {number} joules */
function fallWords(joules) {
  const { figure, unit } = energies();
  const mass = masses();
  const falling = inches() ? FALLING.lb : FALLING.kg;
  const metres = joules / ((falling / mass.figure(1)) * G);
  const far = inches() ? `${plain(toInches(metres * MM_PER_M), 0)} in` : `${plain(100 * metres, 0)} cm`;
  return `${plain(figure(joules), 0)} ${unit}, as ${falling} ${mass.unit} falling ${far}`;
}

/** The larger of two lifts, by what it may come to. @param {Lifts} one @param {Lifts} other @returns {Lifts} */
export const largerLift = (one, other) => ((one.high ?? one).force_n >= (other.high ?? other).force_n ? one : other);
