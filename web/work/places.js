/* From the path in a problem to the screen where that field is typed. */

import { readRoute } from "./guide.js";
import { QUESTIONS } from "./questions.js";

/** @import { Sheet } from "../types/sheet.d.ts" */
/** @import { Route } from "./guide.js" */

/**
 * The field at a path such as "$.car.bar.bore_mm" or "$.log[3].value", or null.
 * @param {string} path
 * @param {string[]} ids the entry at each place of the request's log
 * @param {Sheet} sheet
 * @returns {{ key: string, route: Route } | null}
 */
export function placeOf(path, ids, sheet) {
  const entry = /^\$\.log\[(\d+)\]/.exec(path);
  if (entry) {
    const id = ids[Number(entry[1])];
    const reading = sheet.readings.find((r) => r.id === id);
    if (reading) return { key: id, route: readRoute({ ...reading, entry: id }) };
    if (sheet.moves.some((m) => m.id === id)) return { key: id, route: { words: ["move"], query: { entry: id } } };
    return null;
  }
  const dotted = path.replace(/^\$\.?/, "");
  const question =
    QUESTIONS.find((q) => q.key === dotted) ?? QUESTIONS.find((q) => dotted && q.key.startsWith(`${dotted}.`));
  return question ? { key: question.key, route: { words: ["ask", question.key], query: { from: "plan" } } } : null;
}
