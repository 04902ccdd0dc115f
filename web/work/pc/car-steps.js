/* A car's rows along a plot: in order of time, with a gap between two visits, so that no line joins them. */

import { shortDate } from "../dates.js";
import { plain } from "../numbers.js";

/** @import { Row } from "./car-local.js" */

/** @typedef {(Row | null)[]} Steps */

/** @param {Row[]} rows @returns {Steps} */
export function stepsOf(rows) {
  /** @type {Steps} */
  const steps = [];
  rows.forEach((row, i) => {
    if (i && rows[i - 1].job !== row.job) steps.push(null);
    steps.push(row);
  });
  return steps;
}

/** Least and most of some values with room about them; 0 to 1 where there are none.
 * @param {(number | null)[]} values @param {number} least @returns {[number, number]} */
export function rangeOf(values, least) {
  const there = values.filter((value) => value !== null);
  if (!there.length) return [0, 1];
  const [low, high] = [Math.min(...there), Math.max(...there)];
  const room = Math.max(least, (high - low) * 0.12);
  return [low - room, high + room];
}

/** A column of the rows, null where there is none.
 * @param {Steps} steps @param {keyof Row} name @param {(value: number) => number} [convert]
 * @returns {(number | null)[]} */
export const column = (steps, name, convert = (value) => value) =>
  steps.map((row) => {
    const value = row?.[name];
    return typeof value === "number" ? convert(value) : null;
  });

/** "as found", "after teardown 1, 500 km on".
 * @param {Row} row */
export function afterWords({ teardown, after_km: km }) {
  const when = teardown ? `after teardown ${teardown}` : "as found";
  return km === null ? when : `${when}, ${plain(km, 0)} km on`;
}

/** @param {Row} row */
export const stepWords = (row) => `${shortDate(row.at)}, ${afterWords(row)}`;

/** What stands under a step: "T1", "found", "T1 +" at a recheck; the day where `dated`.
 * @param {Row} row @param {boolean} dated */
export const tickWords = ({ teardown, after_km: km, at }, dated) =>
  `${teardown ? `T${teardown}` : "found"}${km === null ? "" : " +"}\n${dated ? shortDate(at) : ""}`;
