/* How far readings of the same pose lie apart, in words. */

import { plain } from "../work/numbers.js";
import { READINGS } from "../work/readings.js";

/** @import { ReadingRow } from "../types/sheet.d.ts" */

/**
 * Largest less smallest, in words; "" for fewer than two.
 * @param {ReadingRow[]} readings
 */
export function spreadOf(readings) {
  if (readings.length < 2) return "";
  const values = readings.map((r) => r.value - (r.datum ?? 0));
  const { unit, signed } = READINGS[readings[0].what];
  return `spread ${plain(Math.max(...values) - Math.min(...values), signed ? 1 : 0)}${unit}`;
}
