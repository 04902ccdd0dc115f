/* What is asked about a reading that does not fit, and what a gauge should show on an arm just re-indexed. */

import { angle } from "./numbers.js";
import { nameOf, valueOf } from "./readings.js";
import { repair, sentenceOf, words } from "./repair.js";
import { past } from "./still.js";

/** @type {{ [guess: string]: string }} */
const ASK = {
  "sign flipped": "Did you turn the gauge round, or choose the other way?",
  "gauge turned round": "Did you turn the gauge round for the pair?",
  "datum missing": "Was the body reading left out?",
  "datum sign flipped": "Does the body slope the other way?",
  "datum of another pose": "Was the body read in another position?",
  "inches for millimetres": "Were these inches?",
  "centimetres for millimetres": "Were these centimetres?",
  "millimetres for inches": "Were these millimetres?",
  "sides swapped": "Are left and right exchanged?",
};

/** @import { Item } from "../types/log.d.ts" */
/** @import { ReadingRow, Sheet } from "../types/sheet.d.ts" */
/** @import { Doubt } from "../types/wire.d.ts" */

/**
 * What a gauge should show on an arm just re-indexed, following the reading on the body as it is typed; "" where no
 * plan says.
 * @param {number | null} planned
 * @param {number | null} datum
 */
export function shouldRead(planned, datum) {
  if (planned === null) return "";
  if (datum === null) return `Expected ${angle(planned)} arm to body. Gauge: add the body reading.`;
  return datum === 0
    ? `Expected on the gauge: ${angle(planned)}.`
    : `Expected on the gauge: ${angle(planned + datum)}. Arm to body: ${angle(planned)}.`;
}

/**
 * What is asked about a doubted reading; `fix` the items that take the value that would fit, or null, `note` the item
 * that says it was kept all the same.
 * @param {Doubt} doubt
 * @param {ReadingRow} reading
 * @param {Sheet} sheet
 * @returns {{ title: string, options: { value: string, label: string, text: string }[], fix: Item[] | null, note:
 *   Item }}
 */
export function queryOf(doubt, reading, sheet) {
  const fix = repair(doubt, reading, sheet);
  const fits = fix ? words(doubt, reading) : "";
  const question = ASK[doubt.guess] ?? "";
  const take = {
    value: "take",
    label: `Use ${fits}`,
    text: `${fits.charAt(0).toUpperCase()}${fits.slice(1)} would fit. ${question}`,
  };
  const again = {
    value: "again",
    label: "Read again",
    text: fix ? "This one is removed." : `${question} This one is removed.`.trim(),
  };
  const keep = {
    value: "keep",
    label: "Keep as read",
    text: "Noted. The plan keeps asking about it.",
  };
  return {
    title: `${nameOf(reading)}: ${valueOf(reading)} looks wrong`,
    options: [...(fix ? [take] : []), ...(past(sheet, reading) ? [] : [again]), keep],
    fix,
    note: ["note", { about: reading.id, text: `Kept as read. ${sentenceOf(doubt)}` }],
  };
}
