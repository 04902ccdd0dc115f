/* Whether something that was read can be read again, or belongs to a state of the car that is past: the teeth were
   turned since, the bar is loaded again, the car was handed over. Reads the sheet; draws and writes nothing.

   Nobody is asked to read again what cannot be read any more: such a reading can only be looked at, corrected from
   what was written down, or removed. */

import { KINDS } from "../model/facts.js";
import { isTicked, isTurned, underWay } from "./teardown-steps.js";

/** @import { ReadingRow, Sheet, Side } from "../types/sheet.d.ts" */

/**
 * @typedef {{ what: string, side: Side, pose?: ReadingRow["pose"], teardown?: number | null, after_km?: number | null,
 *   id?: string }} Read
 */

const SAID = {
  handed: "The car was handed over",
  driven: "The car was driven since",
  turned: "Teeth were turned since",
  loaded: "The bar is loaded again",
};

/** Why an arm cannot be read hanging free any more. @param {Sheet} sheet @param {Read} read */
function pastHanging(sheet, { side, teardown, id }) {
  const number = teardown ?? 0;
  if (isTurned(sheet, number + 1, side)) return SAID.turned;
  const open = underWay(sheet);
  // As the next teardown found it: only while that one is under way.
  if (number < sheet.teardowns && open !== number + 1) return SAID.turned;
  if (isTicked(sheet, open ?? number, { key: "arm-up", side })) return SAID.loaded;
  const stood = sheet.readings.some(
    (row) =>
      number > 0 &&
      (row.teardown ?? 0) === number &&
      KINDS[row.what].pose !== "free" &&
      !row.pose?.hanging &&
      row.id > (id ?? ""),
  );
  return stood ? SAID.loaded : "";
}

/**
 * Why a reading cannot be made again, as half a sentence; "" where it can.
 * @param {Sheet} sheet
 * @param {Read} read
 */
export function past(sheet, read) {
  const km = read.after_km ?? null;
  if (km !== null) return sheet.readings.some((row) => (row.after_km ?? 0) > km) ? SAID.driven : "";
  if (sheet.closed) return SAID.handed;
  if (read.what === "hanging-angle") return pastHanging(sheet, read);
  return (read.teardown ?? 0) < sheet.teardowns ? SAID.turned : "";
}
