/* From the path in a problem to the screen where that field is typed. */

import { readRoute } from "./guide.js";
import { QUESTIONS } from "./questions.js";
import { otherAxle } from "./weighing.js";

/** @import { Sheet } from "../types/sheet.d.ts" */
/** @import { Route } from "./guide.js" */

/** The same screen as one of the other axle. @param {Route} route @returns {Route} */
const below = ({ words, query }) => ({ words: ["axle", ...words], query });

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
    const there = sheet.other.readings.find((r) => r.id === id);
    if (there) return { key: id, route: below(readRoute({ ...there, entry: id })) };
    if (sheet.other.moves.some((m) => m.id === id))
      return { key: id, route: below({ words: ["move"], query: { entry: id } }) };
    return null;
  }
  const dotted = path.replace(/^\$\.?/, "");
  if (/^(car|target)\.other\b/.test(dotted)) {
    const found = placeOf(`$.${dotted.replace(".other", "")}`, [], sheet);
    const key = `${otherAxle(sheet.car)}/${found?.key ?? "target"}`;
    const target = dotted.startsWith("target");
    return { key, route: below(target || !found ? { words: ["target"], query: {} } : found.route) };
  }
  const question =
    QUESTIONS.find((q) => q.key === dotted) ?? QUESTIONS.find((q) => dotted && q.key.startsWith(`${dotted}.`));
  return question ? { key: question.key, route: { words: ["ask", question.key], query: { from: "plan" } } } : null;
}
