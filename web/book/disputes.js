/* Entries that bear the same id with different contents, and a person's word on which holds.

   Here and there keep what they have under the id, for nothing is put over. A choice is therefore new entries that say
   the same wherever they arrive: a reading or a move is corrected by one with the contents that were picked; anything
   else is struck and written anew. Owns which disputes are open, what a choice writes, and taking it back. */

import { transact } from "./base.js";
import { append, disputed } from "./log.js";
import { stamp } from "./ids.js";
import { tell } from "./tabs.js";

/** @import { Dispute, Entry, Item, Mark, Settlement } from "../types/log.d.ts" */

const CORRECTED = ["reading", "move"];
/** @type {("disputed" | "marks" | "entries")[]} */
const STORES = ["disputed", "marks", "entries"];

/**
 * Disputes of a job, or of all.
 * @param {string | null} [job]
 */
export async function disputes(job = null) {
  /** @type {Map<string, Dispute>} */
  const found = new Map();
  for (const { id, key, entry, came, at, settled = null, mine } of await disputed(job)) {
    if (!mine || (job !== null && mine.job !== job)) continue;
    const one = found.get(id) ?? { id, job: mine.job, mine, others: [], settled };
    found.set(id, one);
    one.others.push({ key, entry, came, at });
    // Another content that came after a choice opens the question again.
    if (!settled) one.settled = null;
  }
  return [...found.values()];
}

/**
 * Those that nobody has settled.
 * @param {string | null} [job]
 */
export const openDisputes = async (job = null) => (await disputes(job)).filter(({ settled }) => !settled);

/**
 * Whether a choice can be written: both are about the same job and kind.
 * @param {Dispute} dispute
 */
export const canPick = ({ mine, others }) =>
  others.every(({ entry }) => entry.job === mine.job && entry.kind === mine.kind);

/**
 * What a choice writes.
 * @param {Dispute} dispute
 * @param {Entry} picked
 * @returns {Item[]}
 */
export function itemsFor({ mine }, picked) {
  const { kind, body } = picked;
  if (CORRECTED.includes(kind)) return [[kind, { ...body, corrects: mine.id }]];
  return [
    ["strike", { entry: mine.id }],
    [kind, body],
  ];
}

/**
 * Note on the dispute, and on the mark of its entry, that it is settled (or, with null, no longer).
 * @param {Dispute} dispute
 * @param {Settlement | null} settled
 */
async function note(dispute, settled) {
  await transact(STORES, "readwrite", async (tx) => {
    const store = tx.objectStore("disputed");
    for (const { key } of dispute.others) {
      const row = await store.get(key);
      if (!row) continue;
      if (settled) row.settled = settled;
      else delete row.settled;
      await store.put(row);
    }
    const marks = tx.objectStore("marks");
    const found = await marks.get(dispute.id);
    if (!found) return;
    const { why, ...mark } = found;
    // The shop has this id and will never take ours: with the choice written there is nothing to send any more.
    if (settled && mark.state === "refused" && why?.code === "other-content")
      await marks.put({ ...mark, state: "shop", before: why });
    else if (!settled && mark.before)
      await marks.put({ id: mark.id, job: mark.job, n: mark.n, state: "refused", why: mark.before });
  });
  tell({ what: "marks", jobs: [dispute.job] });
}

/**
 * Let the picked contents hold; `wrote` false only notes that the question needs no entry. Rejects with NotKept.
 * @param {Dispute} dispute
 * @param {Entry} picked
 * @param {{ wrote?: boolean }} [how]
 */
export async function settleDispute(dispute, picked, { wrote = true } = {}) {
  const made = wrote ? await append(dispute.job, itemsFor(dispute, picked)) : [];
  const settled = { at: stamp(), wrote: made.map(({ id }) => id) };
  await note(dispute, settled);
  return { ...dispute, settled };
}

/**
 * Take a choice back: what it wrote is struck, the question is open again.
 * @param {Dispute} dispute
 */
export async function reopenDispute(dispute) {
  const wrote = dispute.settled?.wrote ?? [];
  if (wrote.length)
    await append(
      dispute.job,
      wrote.toReversed().map((id) => ["strike", { entry: id }]),
    );
  await note(dispute, null);
}
