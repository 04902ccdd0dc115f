/* From the phone's holds to a reading: the datum's and the arm's angle and how sure they are. Pure; draws nothing.

   Each hold is how far the phone's top was above its bottom, lying with its top to the tail ("tail") or to the front
   ("front"). Angles come out positive tail down, as a gauge is read, in steps of 0.1 degree. */

import { reversal } from "./tilt.js";

/** @import { Hold } from "./tilt.js" */

/** @typedef {{ tail: Hold, front?: Hold }} Holds The holds in one place; `front` where the phone was turned. */

/**
 * Standard uncertainty of a telephone's tilt, one way, [deg]. Mourcou et al., Sensors 15 (2015) 23168: under 0.3
 * RMS.
 */
export const ONE_WAY_SD = 0.3;
/**
 * Half of its variance is taken to be the phone's own zero error and half to come anew with every laying: common sense,
 * no source.
 */
const LAYING_VARIANCE = ONE_WAY_SD ** 2 / 2;
const ZERO_VARIANCE = ONE_WAY_SD ** 2 / 2;
/** A reading in steps of 0.1 degree: 0.1 / root 12. */
const STEP_VARIANCE = 0.1 ** 2 / 12;
/** A zero error above which the phone was hardly turned, [deg]. */
export const LARGEST_ZERO_DEG = 3;

/** @param {number} value */
const tenth = (value) => Number((Math.round(value * 10) / 10 || 0).toFixed(1));

/**
 * {angle, variance, zero, reversed} of the holds in one place.
 * @param {Holds} holds
 */
function place({ tail, front }) {
  const own = (/** @type {Hold} */ hold) => LAYING_VARIANCE + STEP_VARIANCE + hold.sd ** 2;
  if (!front) return { angle: -tail.mean, variance: own(tail), zero: null, reversed: false };
  const { slope, zero } = reversal(tail.mean, front.mean);
  return { angle: -slope, variance: (own(tail) + own(front)) / 4, zero, reversed: true };
}

/**
 * The reading from holds {datum: {tail, front}, arm: {tail, front}}; no datum where it was left out.
 * Gives {arm, datum, sd, reversed, zero}. One way, the zero error drops out where datum and arm were read the same way
 * round, and stays where there is no datum; turned, it drops out of each.
 * @param {{ datum?: Holds, arm: Holds }} holds
 */
export function figures({ datum, arm }) {
  // Turned in one place only: the first way counts in both, so that the zero error drops out.
  const both = Boolean(arm.front) && (!datum || Boolean(datum.front));
  const way = (/** @type {Holds} */ holds) => (both ? holds : { tail: holds.tail });
  const a = place(way(arm));
  const d = datum ? place(way(datum)) : null;
  const variance = a.variance + (d ? d.variance : both ? 0 : ZERO_VARIANCE);
  return {
    arm: tenth(a.angle),
    datum: d ? tenth(d.angle) : null,
    sd: Math.round(Math.sqrt(variance) * 100) / 100,
    reversed: both,
    zero: a.zero === null ? null : tenth(a.zero),
  };
}
