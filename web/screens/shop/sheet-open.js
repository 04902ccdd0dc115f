/* What is in dispute on a job, as a printed sheet needs it: which heights, which teeth, and the sentences to print. A
   sheet says that two entries disagree; it does not choose between them. */

import { disputedName, disputedWords } from "../../work/card-conflicts.js";
import { wordsOf } from "../../work/conflicts.js";

/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Conflict, Sheet } from "../../types/sheet.d.ts" */
/** @import { Dispute } from "../../work/pc/sheet-words.js" */

const SAID = { open: (/** @type {string} */ what) => `In dispute: ${what}.`, or: "; or " };

/** What each of a card's entries says. @param {Conflict} conflict */
const eachWords = (conflict) =>
  [...new Set(conflict.values.map(({ value }) => disputedWords(conflict, value)))].join(SAID.or);

/**
 * What a sheet's conflicts leave open, and contents that differ under one id (`open`).
 * @param {{ sheet: Sheet, entries: Entry[] }} job
 * @param {any[]} open
 * @returns {Dispute}
 */
export function inDispute({ sheet, entries }, open) {
  /** @type {Dispute} */
  const found = { heights: new Set(), readings: new Set(), moves: new Set(), lines: [] };
  const entryOf = (/** @type {string} */ id) => entries.find((entry) => entry.id === id);
  const note = (/** @type {Entry} */ { kind, body: any }) => {
    const body = /** @type {any} */ (any);
    if (kind === "move") found.moves.add(body.teardown);
    if (kind !== "reading") return;
    found.readings.add(`${body.what} ${body.teardown ?? 0} ${body.side}`);
    if (body.what === "body-height") found.heights.add(`${body.teardown ?? 0} ${body.side}`);
  };
  const add = (/** @type {(Entry | undefined)[]} */ list) => {
    const rows = list.filter((entry) => entry !== undefined);
    rows.forEach(note);
    found.lines.push(SAID.open([...new Set(rows.map((entry) => wordsOf(entry, sheet)))].join(SAID.or)));
  };
  for (const conflict of sheet.conflicts) {
    if (conflict.about !== "card") add(conflict.entries.map(entryOf));
    else found.lines.push(SAID.open(`${disputedName(conflict)} ${eachWords(conflict)}`));
  }
  for (const { mine, others } of open) add([mine, ...others.map((/** @type {any} */ { entry }) => entry)]);
  return found;
}
