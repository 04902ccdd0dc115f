/* What is said of a job's other axle where only the job's own is shown: that it is set too, how it was read last, what
   is wanted of it. Words; draws nothing. */

import { readingsOf, stands } from "./sheet.js";
import { SIDES } from "./readings.js";
import { targetWords } from "./target-words.js";
import { seenThere } from "./there.js";
import { length } from "./units.js";
import { ofBoth, otherAxle } from "./weighing.js";

/** @import { Sheet } from "../types/sheet.d.ts" */

const SAID = {
  too: (/** @type {string} */ axle) => `The ${axle} axle is of this job too.`,
  read: (/** @type {string[]} */ sides) => `Ride height read last: ${sides.join(", ")}.`,
  unread: "Its ride height is not read.",
  wanted: (/** @type {string} */ target) => `Target: ${target}.`,
  elsewhere: "What is turned there stands in the app, under Plan and Log.",
};

/**
 * "The front axle is of this job too. Ride height read last: left 412 mm, right 415 mm. ..."; "" where it is not.
 * @param {Sheet} sheet
 */
export function thereWords(sheet) {
  if (!ofBoth(sheet)) return "";
  const there = seenThere(sheet);
  const sides = SIDES.flatMap((side) => {
    const row = readingsOf(there, { what: "body-height", side }).findLast(({ pose }) => stands(pose));
    return row ? [`${side} ${length(row.value)}`] : [];
  });
  const target = targetWords(/** @type {any} */ (sheet.target).other);
  return [
    SAID.too(otherAxle(sheet.car)),
    sides.length ? SAID.read(sides) : SAID.unread,
    target ? SAID.wanted(target) : "",
    SAID.elsewhere,
  ]
    .filter(Boolean)
    .join(" ");
}
