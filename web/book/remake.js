/* Cards of jobs made anew where entries came since, or another version of the app made them: a few at a time, and none
   of it held in memory. */

import { FOLD_MARK } from "./fold-mark.js";
import { transact } from "./base.js";
import { fold } from "./fold.js";
import { keepCards, stale } from "./shelf.js";
import { cardOf } from "../work/card.js";
import { lengths } from "../work/units.js";

/** @import { Entry } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */

/** Jobs that are folded in one go: what a plan that is asked for meanwhile has to wait for. */
const PART = 10;

/** By what a card is made: the fold and the words of this version, and the unit of lengths. */
export const madeBy = () => `${FOLD_MARK} ${lengths()}`;

/**
 * Keep the card of a job that was folded for a screen.
 * @param {string} job
 * @param {number} grown as its row said when its entries were read
 * @param {Folded} found
 */
export const keepCard = (job, grown, found) => keepCards([{ job, grown, made: madeBy(), card: cardOf(found) }]);

/**
 * Make the cards of some jobs.
 * @param {string[]} jobs
 */
async function make(jobs) {
  const made = madeBy();
  const read = await transact(["entries", "jobs"], "readonly", (tx) =>
    Promise.all(
      jobs.map(async (job) => {
        const [row, entries] = await Promise.all([
          tx.objectStore("jobs").get(job),
          /** @type {Promise<Entry[]>} */ (tx.objectStore("entries").index("job").getAll(job)),
        ]);
        return { job, entries, grown: row?.grown ?? 0 };
      }),
    ),
  );
  const there = read.filter(({ entries }) => entries.length);
  const come = await fold(there.map(({ job, entries }) => ({ job, entries })));
  await keepCards(there.map(({ job, grown }, i) => ({ job, grown, made, card: cardOf(come[i]) })));
}

/** @type {Promise<void> | null} */
let running = null;
let again = false;

async function run() {
  do {
    again = false;
    const all = await stale(madeBy());
    // What grows meanwhile is found by the next look.
    for (let i = 0; i < all.length && !again; i += PART) await make(all.slice(i, i + PART));
  } while (again);
}

/** Make all cards that are older than their jobs; resolves when they are kept. */
export function remake() {
  again = Boolean(running);
  running ??= run().finally(() => (running = null));
  return running;
}

/**
 * The same for these, where another version made them.
 * @param {import("../types/log.d.ts").JobRow[]} rows
 */
export async function refresh(rows) {
  const made = madeBy();
  const old = rows.filter((row) => row.whole && row.made !== made).map(({ job }) => job);
  for (let i = 0; i < old.length; i += PART) await make(old.slice(i, i + PART));
}
