/* Whether a figure lies within the model's own bounds, so that a slip is told at its field at once. */

import { FACTS } from "../model/facts.js";

export { FACTS };

/**
 * What is wrong with a value for people, or "" where nothing is known to be; `path` as in FACTS, `words(number)` the
 * figure with its unit where the table's is not enough.
 * @param {string} path
 * @param {number} value
 * @param {(number: number) => string} [words]
 */
export function outside(path, value, words = (number) => `${number}${FACTS[path].unit}`) {
  const { low, high, unit } = FACTS[path];
  if (value >= low && value <= high) return "";
  const least = words(low).endsWith(`${low}${unit}`) ? low : words(low);
  return `Expected between ${least} and ${words(high)}, got ${words(value)}. Read again, or check the unit.`;
}

/**
 * What is taken where nobody says, or undefined.
 * @param {string} path as in FACTS
 * @returns {any}
 */
export const defaultOf = (path) => FACTS[path].default;

/**
 * The unit of a number, with the space before it; "" for a count.
 * @param {string} path as in FACTS
 * @returns {string}
 */
export const unitOf = (path) => FACTS[path].unit;
