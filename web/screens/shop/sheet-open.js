/* What is in dispute on a job, as a printed sheet needs it: which heights, which teeth, and the sentences to print. A
   sheet says that two entries disagree; it does not choose between them. */

import { wordsOf } from "../../work/conflicts.js";

/**
 * {heights: Set("teardown side"), angles: the same of all kinds, moves: Set(teardown), lines: [sentence]} of a
 * sheet's conflicts
 * and of contents that differ under one id.
 */
export function inDispute({ sheet, entries }, open) {
  const heights = new Set();
  const readings = new Set();
  const moves = new Set();
  const lines = [];
  const entryOf = (id) => entries.find((entry) => entry.id === id);
  const note = ({ kind, body }) => {
    if (kind === "move") moves.add(body.teardown);
    if (kind !== "reading") return;
    readings.add(`${body.what} ${body.teardown ?? 0} ${body.side}`);
    if (body.what === "body-height") heights.add(`${body.teardown ?? 0} ${body.side}`);
  };
  const add = (list) => {
    const rows = list.filter(Boolean);
    rows.forEach(note);
    lines.push(`In dispute: ${[...new Set(rows.map(wordsOf))].join("; or ")}.`);
  };
  for (const { entries: ids } of sheet.conflicts) add(ids.map(entryOf));
  for (const { mine, others } of open) add([mine, ...others.map(({ entry }) => entry)]);
  return { heights, readings, moves, lines };
}
