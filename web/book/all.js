/* Looking through all jobs of this device: by the words of their cards, and counting. */

import { transact } from "./base.js";

/** @import { Counts, JobRow } from "../types/log.d.ts" */

/**
 * Rows in whose card every word stands, latest first, on either shelf; and how many have no card yet to look at.
 * @param {string[]} words in lower case
 * @returns {Promise<{ rows: JobRow[], unread: number }>}
 */
export const like = (words) =>
  transact(["jobs"], "readonly", async ({ store }) => {
    const all = await store.getAll();
    const found = all.filter(({ card }) => card && words.every((word) => card.text.includes(word)));
    const rows = found.sort((a, b) => (a.last < b.last ? 1 : -1));
    return { rows, unread: all.filter(({ card }) => !card).length };
  });

/** How many entries of every job stand where, by job: for tables of the PC, since it reads a mark for each entry. */
export const countsByJob = () =>
  transact(["marks"], "readonly", async (tx) => {
    /** @type {Map<string, Counts>} */
    const found = new Map();
    for (const { job, state } of await tx.store.getAll()) {
      const one = found.get(job) ?? { waiting: 0, shop: 0, refused: 0 };
      one[state] += 1;
      found.set(job, one);
    }
    return found;
  });
