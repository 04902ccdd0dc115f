/* What it takes to lift an arm onto its stop, or to let it down, in figures that mean something to a hand. */

import { plain } from "./numbers.js";

const G = 9.80665;
const KG = 10;

/**
 * {force, more, ...} in words, or null where the bar is slack. Where the stop was not measured every figure is a range, and
 * only one whose high end is nothing is slack: a middle of nothing may still be a wound bar.
 */
export function liftWords(lift) {
  if (!lift) return null;
  const ends = lift.assumed && lift.low && lift.high ? [lift.low, lift.high] : [lift];
  const most = ends.at(-1);
  if (most.torque_nm <= 0) return null;
  const range = (of) => ends.map((end) => plain(of(end), 0)).join(" to ");
  const kilograms = `as much as ${range(({ force_n }) => force_n / G)} kg`;
  const torque = `${range(({ torque_nm }) => torque_nm)} N·m at the bar`;
  return {
    force:
      ends.length > 1
        ? `between ${plain(ends[0].force_n, 0)} and ${plain(most.force_n, 0)} N`
        : `${plain(most.force_n, 0)} N`,
    more: `at the wheel end, ${kilograms}; ${torque}, ${range(({ energy_j }) => energy_j)} J wound up`,
    fall: `${ends.length > 1 ? "up to " : ""}${plain(most.energy_j, 0)} J, as ${KG} kg falling ${plain((100 * most.energy_j) / (KG * G), 0)} cm`,
    energy: `${range(({ energy_j }) => energy_j)} J`,
    kilograms,
    torque,
  };
}

/** The larger of two lifts, by what it may come to. */
export const largerLift = (one, other) => ((one.high ?? one).force_n >= (other.high ?? other).force_n ? one : other);
