/* Looking through the jobs of this device by the words of their cards. */

import { transact } from "./base.js";

/** @import { JobRow } from "../types/log.d.ts" */

/**
 * Rows in whose card every word stands, latest first, on either shelf.
 * @param {string[]} words in lower case
 * @returns {Promise<JobRow[]>}
 */
export const like = (words) =>
  transact(["jobs"], "readonly", async ({ store }) => {
    const all = await store.getAll();
    const found = all.filter(({ card }) => card && words.every((word) => card.text.includes(word)));
    return found.sort((a, b) => (a.last < b.last ? 1 : -1));
  });
