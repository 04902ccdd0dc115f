/* How a job looks in the list that is not on this device, from what the shop's list says of it. Draws nothing. */

import { nameOf, textOf } from "./card.js";
import { targetWords } from "./target-words.js";

/** @import { Card } from "../types/log.d.ts" */
/** @import { JobLine } from "../types/wire.d.ts" */

/** Where a job stands, and the screen that says more. @type {Record<string, [stands: string, word: string]>} */
const STANDS = {
  measuring: ["Measuring", "list"],
  planned: ["Plan ready", "plan"],
  "torn down": ["Measure heights", "list"],
  checked: ["Heights measured", "list"],
  closed: ["Handed over", "close"],
};

/**
 * The card of a line of the list.
 * @param {JobLine} line
 * @returns {Card}
 */
export function cardOfLine(line) {
  const { state, target_left_mm: left, target_right_mm: right } = line;
  const [stands, word] = STANDS[state] ?? STANDS.measuring;
  const name = nameOf(line);
  const target = left !== null && right !== null ? targetWords({ left_mm: left, right_mm: right }) : "";
  return {
    name,
    target: target || line.wish,
    at: 0,
    stages: [],
    stage: "",
    stands,
    place: stands.toLowerCase(),
    small: name,
    next: { words: [word], query: {} },
    done: state === "closed",
    due: null,
    asks: 0,
    text: textOf(line),
    erased: null,
    hidden: line.hidden,
  };
}

/**
 * What stands for the greatest id of its entries, by which lists are ordered: when it was last worked on.
 * @param {Pick<JobLine, "job" | "last_at">} line
 */
export function lastOf({ job, last_at: at }) {
  const ms = Date.parse(at ?? "");
  if (!(ms > 0)) return job;
  const digits = ms.toString(16).padStart(12, "0");
  return `${digits.slice(0, 8)}-${digits.slice(8, 12)}`;
}
