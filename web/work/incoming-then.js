/* What a job comes to, in a few rows: target, what was turned, what was read, what is known of the car, what is asked.
   For the job as it would be once what comes is taken, beside the job as it is. Reads folded sheets; draws nothing. */

import { disputedName } from "./card-conflicts.js";
import { moveWords } from "./conflicts.js";
import { carFacts } from "./incoming.js";
import { afterStage, movedName } from "./promise.js";
import { nameOf, poseWords, valueOf } from "./readings.js";
import { aimWords, withinWords } from "./wish.js";

/** @import { ReadingRow, Sheet } from "../types/sheet.d.ts" */

/** @typedef {{ name: string, was: string, is: string }} Row */

const SAID = {
  target: "Target",
  none: "none yet",
  asked: "To be chosen",
  handed: "Hand-over",
  done: "handed over",
};

/** @param {ReadingRow} reading @param {Sheet} sheet */
const readingName = (reading, sheet) =>
  [nameOf(reading), poseWords(reading.pose, reading.what), afterStage(sheet, reading.teardown)]
    .filter(Boolean)
    .join(", ");

/** Names and values of a sheet, repeats of a reading beside each other.
 * @param {Sheet} sheet @returns {Map<string, string>} */
function rowsOf(sheet) {
  /** @type {Map<string, string>} */
  const rows = new Map();
  const add = (/** @type {string} */ name, /** @type {string} */ value) => {
    const before = rows.get(name);
    rows.set(name, before === undefined ? value : `${before}, ${value}`);
  };
  const set = Object.keys(sheet.target ?? {}).length > 0;
  add(SAID.target, set ? [aimWords(sheet.target), withinWords(sheet.target)].filter(Boolean).join("; ") : SAID.none);
  for (const move of sheet.moves) add(movedName(move), moveWords(move));
  if (sheet.closed) add(SAID.handed, SAID.done);
  for (const conflict of sheet.conflicts)
    add(SAID.asked, conflict.about === "card" ? disputedName(conflict) : conflict.text);
  for (const { name, value } of carFacts(sheet.car)) add(name, value);
  for (const reading of sheet.readings) add(readingName(reading, sheet), valueOf(reading));
  return rows;
}

/**
 * The rows of the job as it would be, each with what it is now where that differs; `was` is null where it is not here.
 * @param {Sheet | null} was
 * @param {Sheet} is
 * @returns {Row[]}
 */
export function thenRows(was, is) {
  const before = was ? rowsOf(was) : new Map();
  const after = rowsOf(is);
  const names = [...after.keys(), ...[...before.keys()].filter((name) => !after.has(name))];
  return names.map((name) => ({ name, was: before.get(name) ?? "", is: after.get(name) ?? "" }));
}
