/* How many entries of every job stand where: for tables of the PC, since it reads a mark for each entry. */

import { transact } from "./base.js";

/** @import { Counts } from "../types/log.d.ts" */

/** By job. */
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
