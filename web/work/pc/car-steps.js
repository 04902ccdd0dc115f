/* A car's rows along a plot: in order of time, with a gap between two visits, so that no line joins them. */

import { shortDate } from "../dates.js";
import { workName } from "../adjuster.js";
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

/** Whether a row is of a teardown or of an adjustment. @param {Row} row */
const rowWork = (row) =>
  workName({
    left: { inner: row.left_inner_teeth, outer: row.left_outer_teeth, turns: row.left_turns },
    right: { inner: row.right_inner_teeth, outer: row.right_outer_teeth, turns: row.right_turns },
  });

/** "teardown 1", "adjustment 2". @param {Row} row */
export const rowStage = (row) => `${rowWork(row)} ${row.teardown}`;

/** "as found", "after teardown 1, 500 km on".
 * @param {Row} row */
export function afterWords(row) {
  const { teardown, after_km: km } = row;
  const when = teardown ? `after ${rowStage(row)}` : "as found";
  return km === null ? when : `${when}, ${plain(km, 0)} km on`;
}

/** @param {Row} row */
export const stepWords = (row) => `${shortDate(row.at)}, ${afterWords(row)}`;

/** What stands under a step: "T1" of a teardown, "A2" of an adjustment, "found", "T1 +" at a recheck; the day
 * where `dated`.
 * @param {Row} row @param {boolean} dated */
export function tickWords(row, dated) {
  const { teardown, after_km: km, at } = row;
  const step = teardown ? `${rowWork(row)[0].toUpperCase()}${teardown}` : "found";
  return `${step}${km === null ? "" : " +"}\n${dated ? shortDate(at) : ""}`;
}
