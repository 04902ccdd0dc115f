/* What a writer has in front of it of a card: the entries of that card that no other one there has seen.

   An entry says in `saw` which these were when it was written; one that does not say, from an older app, has seen all
   before it. Owns only what is written into `saw`; what follows from it is the fold's business
   (api/bothends/book/sheet/seen.py). */

import { CARDS, LAST_STAMP_MS, MOST_SEEN } from "../model/facts.js";
import { stampMs } from "./ids.js";

/** @import { Entry } from "../types/log.d.ts" */

/**
 * Whether entries of a kind add to one card and say what they saw of it.
 * @param {string} kind
 */
export const isCard = (kind) => CARDS.includes(kind);

/**
 * Ids of the latest entries of a card, side by side; ascending.
 * @param {Entry[]} entries of one job, in order of their ids
 * @param {string} kind
 */
export function headsOf(entries, kind) {
  /** @type {string[]} */
  const heads = [];
  /** @type {Set<string>} */
  const seen = new Set();
  for (const { id, kind: of, saw } of entries.toReversed()) {
    // What is beyond the bound counts nowhere, and nobody has seen anything of it.
    if (of !== kind || stampMs(id) > LAST_STAMP_MS) continue;
    if (!seen.has(id)) heads.unshift(id);
    if (!Array.isArray(saw)) break;
    for (const one of saw) seen.add(one);
  }
  return heads.slice(-MOST_SEEN);
}
