/* What it takes to lift an arm onto its stop, or to let it down, in figures that mean something to a hand. */

import { plain } from "../parts/numbers.js";

const G = 9.80665;
const KG = 10;

/** {force, more} in words, or null where the bar is slack. */
export function liftWords(lift) {
  if (!lift || lift.torque_nm <= 0) return null;
  const { torque_nm: torque, force_n: force, energy_j: energy } = lift;
  return {
    force: `${plain(force, 0)} N`,
    more: `at the wheel end, as much as ${plain(force / G, 0)} kg; ${plain(torque, 0)} N·m at the bar, ${plain(energy, 0)} J wound up`,
    fall: `${plain(energy, 0)} J, as ${KG} kg falling ${plain((100 * energy) / (KG * G), 0)} cm`,
    kilograms: `as much as ${plain(force / G, 0)} kg`,
    torque: `${plain(torque, 0)} N·m at the bar`,
  };
}
