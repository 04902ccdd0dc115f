/* What is to be looked at since a person chose between two that contradicted each other: readings of the device that
   had it otherwise (api/bothends/book/sheet/unsure.py). Which and why in words, and what an answer writes. Decides and
   words; draws nothing. */

import { disputedName, disputedWords } from "./card-conflicts.js";
import { moveWords } from "./conflicts.js";
import { readRoute } from "./guide.js";
import { afterStage } from "./promise.js";
import { nameOf, valueOf } from "./readings.js";
import { strikeOf } from "./sheet.js";
import { past } from "./still.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { ReadingRow, Said, Sheet, Unsure } from "../types/sheet.d.ts" */

/**
 * @typedef {object} Asked one reading of it
 * @property {ReadingRow} row
 * @property {string} name
 * @property {string} value
 * @property {string} past why it cannot be read again, "" where it can
 * @property {{ words: string[], query?: any }} route where it is corrected, or read again
 * @property {Item[]} holds what is written where it holds
 * @property {Item[]} remove what is written where it is removed
 */

const SAID = {
  move: (/** @type {number} */ n) => `Teardown ${n}, teeth turned`,
  chosen: (/** @type {string} */ name, /** @type {string} */ kept, /** @type {string} */ lost) =>
    `${name}: “${kept}” was chosen. The device that read what follows had “${lost}”.`,
  /** @type {Record<Unsure["kind"], string>} */
  why: {
    move: "What it read after that teardown may speak of another state of the car.",
    car: "What it read meanwhile may speak of another bar.",
    target: "It read for a target that is met otherwise.",
  },
  holds: "Looked at after the choice: it holds.",
};

/** @param {Unsure} unsure */
export const unsureName = ({ kind, field, teardown }) =>
  kind === "move" ? SAID.move(teardown) : disputedName({ kind, field });

/** What was chosen, or not. @param {Unsure} unsure @param {Said} said */
function saidWords({ kind, field, kept, lost }, said) {
  if (kind !== "move") return disputedWords({ kind, field, values: [kept, lost] }, said.value);
  const [a, b, c, d] = said.value;
  return moveWords({ left: { inner: a, outer: b }, right: { inner: c, outer: d } });
}

/** Why it is asked. @param {Unsure} unsure */
export const unsureSentence = (unsure) =>
  `${SAID.chosen(unsureName(unsure), saidWords(unsure, unsure.kept), saidWords(unsure, unsure.lost))} ` +
  SAID.why[unsure.kind];

/**
 * Each reading that is asked about.
 * @param {Unsure} unsure
 * @param {Sheet} sheet
 * @returns {Asked[]}
 */
export const unsureReadings = ({ choice, readings }, sheet) =>
  readings.flatMap((id) => {
    const row = sheet.readings.find((one) => one.id === id);
    if (!row) return [];
    return {
      row,
      name: `${nameOf(row)}, ${afterStage(sheet, row.teardown)}`,
      value: valueOf(row),
      past: past(sheet, row),
      route: readRoute({ ...row, entry: row.id }),
      holds: [["note", { about: id, checked: choice, text: SAID.holds }]],
      remove: [strikeOf(row)],
    };
  });
