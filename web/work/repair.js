/* Readings that do not fit the others: what is likely wrong, and the entries that put it right. */

import { poseKey, said } from "./sheet.js";
import { angle, plain, teeth } from "./numbers.js";
import { READINGS } from "./readings.js";

/** What an entry says, changed: a correction of it. */
const changed = (kind, entry, change) => [kind, { ...said({ ...entry, ...change }), corrects: entry.id }];

/** The items that put a doubt right, or null where it names no value. */
export function repair(doubt, entry, sheet) {
  if (!entry || doubt.repaired_value === null || doubt.repaired_value === undefined) return null;
  if (entry.kind === "move") {
    const turned = { ...entry[doubt.side], [doubt.end]: Math.round(doubt.repaired_value) };
    return [changed("move", entry, { [doubt.side]: turned })];
  }
  if (doubt.guess === "sides swapped") {
    const other = sheet.readings.find(
      (r) => r.what === entry.what && r.side !== entry.side && (r.teardown ?? 0) === (entry.teardown ?? 0)
        && poseKey(r.pose) === poseKey(entry.pose) && Math.abs(r.value - doubt.repaired_value) < 1e-9,
    ); // prettier-ignore
    if (!other) return null;
    const swap = (into, from) =>
      changed("reading", into, { value: from.value, datum: from.datum, reference: from.reference });
    return [swap(entry, other), swap(other, entry)];
  }
  if (doubt.guess === "gauge turned round") {
    return [changed("reading", entry, { value: -entry.value, datum: -entry.datum })];
  }
  // A board is the matter of several readings, and a figure typed twice has to be read: no tap mends those.
  if (doubt.field?.startsWith("pose.") || doubt.guess === "value typed twice") return null;
  return [changed("reading", entry, { [doubt.field ?? "value"]: doubt.repaired_value })];
}

/** The repaired value for people. */
export function words(doubt, entry) {
  if (entry.kind === "move") return `${doubt.side}, ${doubt.end} end: ${teeth(Math.round(doubt.repaired_value))}`;
  if (doubt.guess === "sides swapped") return "left and right exchanged";
  const { signed, unit } = READINGS[entry.what];
  const value = signed ? angle(doubt.repaired_value) : plain(doubt.repaired_value, 1) + unit;
  return doubt.field === "datum" ? `datum ${value}` : value;
}

/** What it likely is, in a sentence. */
export function likely(doubt, entry, fix) {
  if (!fix) return doubt.text.replace(/[^.?]$/, "$&.");
  return `${doubt.guess.charAt(0).toUpperCase()}${doubt.guess.slice(1)}? ${words(doubt, entry)} would fit.`;
}
