/* Readings that do not fit the others: what is likely wrong, and the entries that put it right. */

import { poseKey, said } from "./sheet.js";
import { angle, plain, teeth } from "./numbers.js";
import { READINGS } from "./readings.js";
import { brief } from "./units.js";

/** @import { Body, Item } from "../types/log.d.ts" */
/** @import { MoveRow, ReadingRow, Sheet } from "../types/sheet.d.ts" */
/** @import { Doubt } from "../types/wire.d.ts" */

/**
 * @typedef {(ReadingRow & { kind?: "reading" }) | (MoveRow & { kind: "move" })} Doubted The row that a doubt is about.
 */

/**
 * What an entry says, changed: a correction of it.
 * @param {string} kind
 * @param {Doubted} entry
 * @param {Body} change
 * @returns {Item}
 */
const changed = (kind, entry, change) => [kind, { ...said({ ...entry, ...change }), corrects: entry.id }];

/**
 * The move with other teeth at the one end of one side that a doubt of it names.
 * @param {Doubt} doubt
 * @param {MoveRow & { kind: "move" }} move
 * @param {number} teeth
 */
function otherTeeth({ side, end }, move, teeth) {
  if (!side || side === "both" || !end || end === "both") return null;
  return [changed("move", move, { [side]: { ...move[side], [end]: Math.round(teeth) } })];
}

/**
 * The items that put a doubt right, or null where it names no value.
 * @param {Doubt} doubt
 * @param {Doubted | undefined} entry
 * @param {Sheet} sheet
 * @returns {Item[] | null}
 */
export function repair(doubt, entry, sheet) {
  const value = doubt.repaired_value ?? null;
  if (!entry || value === null) return null;
  if (entry.kind === "move") return otherTeeth(doubt, entry, value);
  if (doubt.guess === "sides swapped") {
    const other = sheet.readings.find(
      (r) =>
        r.what === entry.what &&
        r.side !== entry.side &&
        (r.teardown ?? 0) === (entry.teardown ?? 0) &&
        poseKey(r.pose) === poseKey(entry.pose) &&
        Math.abs(r.value - value) < 1e-9,
    );
    if (!other) return null;
    /** @type {(into: ReadingRow, from: ReadingRow) => Item} */
    const swap = (into, from) =>
      changed("reading", into, { value: from.value, datum: from.datum, reference: from.reference });
    return [swap(entry, other), swap(other, entry)];
  }
  if (doubt.guess === "gauge turned round") {
    return [changed("reading", entry, { value: -entry.value, datum: -(entry.datum ?? 0) })];
  }
  // A board is the matter of several readings, and a figure typed twice has to be read: no tap mends those.
  if (doubt.field?.startsWith("pose.") || doubt.guess === "value typed twice") return null;
  return [changed("reading", entry, { [doubt.field ?? "value"]: value })];
}

/**
 * The repaired value for people.
 * @param {Doubt} doubt
 * @param {Doubted} entry
 */
export function words(doubt, entry) {
  const repaired = doubt.repaired_value ?? 0;
  if (entry.kind === "move") return `${doubt.side}, ${doubt.end} end: ${teeth(Math.round(repaired))}`;
  if (doubt.guess === "sides swapped") return "left and right exchanged";
  const { signed, unit } = READINGS[entry.what];
  const value = signed ? angle(repaired) : unit === " mm" ? brief(repaired) : plain(repaired, 1) + unit;
  return doubt.field === "datum" ? `body reading ${value}` : value;
}

/**
 * What it likely is, in the model's own sentence.
 * @param {Doubt} doubt
 */
export const sentenceOf = (doubt) => doubt.text.replace(/[^.?]$/, "$&.");
