/* Which of the shop's jobs a device holds whole, where it holds some of them only (`some` in the place of sync).

   A job is whole where all its entries are here that the shop had when this device read it last: then the feed keeps it
   so. Of any other nothing is kept by the feed; it is noted as wanted and fetched whole (shop/fetch.js), so that there
   is never half of one. Owns these notes in the rows of jobs; asks nobody. */

import { transact } from "./base.js";
import { ERASE } from "./erased.js";
import { awayRow, shelfOf } from "./shelf.js";
import { cardOfLine, lastOf } from "../work/card-line.js";

/** @import { Name, Over } from "../vendor/idb.mjs" */
/** @import { Entry, JobRow, Place } from "../types/log.d.ts" */
/** @import { JobLine } from "../types/wire.d.ts" */

/**
 * A job's row, or undefined.
 * @param {string} job
 */
export const rowOf = (job) => transact(["jobs"], "readonly", ({ store }) => store.get(job));

/** @param {JobRow[]} rows */
const latest = (rows) => rows.sort((a, b) => (a.last < b.last ? 1 : -1));

/**
 * Of entries that the feed brought those of jobs that are whole; the others are noted as wanted, and the card of one
 * whose customer was erased goes.
 * @param {Over<Name>} tx
 * @param {Entry[]} entries
 */
export async function heldOnly(tx, entries) {
  const jobs = tx.objectStore("jobs");
  /** @type {Set<string>} */
  const whole = new Set();
  const erased = new Set(entries.filter(({ kind }) => kind === ERASE).map(({ job }) => job));
  await Promise.all(
    [...new Set(entries.map(({ job }) => job))].map(async (job) => {
      const row = await jobs.get(job);
      if (row?.whole) whole.add(job);
      else await jobs.put({ ...(row ?? awayRow(job)), wanted: 1, ...(erased.has(job) ? { card: null } : {}) });
    }),
  );
  return entries.filter(({ job }) => whole.has(job));
}

/**
 * Note that all entries of these jobs are here that the shop had when its book was at `upto`; inside the transaction
 * that keeps them. Where the feed has gone further meanwhile, it has passed over entries of a job that was not whole
 * yet: that one is fetched again.
 * @param {Over<Name>} tx
 * @param {string[]} jobs
 * @param {{ upto: number, epoch: string }} how
 */
export async function noteWhole(tx, jobs, { upto, epoch }) {
  const at = await tx.objectStore("meta").get("sync");
  const store = tx.objectStore("jobs");
  await Promise.all(
    jobs.map(async (job) => {
      const [found, here] = await Promise.all([store.get(job), tx.objectStore("entries").index("job").count(job)]);
      // The shop has nothing of it, nor has this device.
      if (!here) return store.delete(job);
      const { wanted: _, ...row } = found ?? awayRow(job);
      if (!row.whole && (at?.epoch !== epoch || upto < at.after)) return store.put({ ...row, wanted: 1 });
      return store.put({ ...row, made: row.whole ? row.made : "", whole: true, upto });
    }),
  );
}

/**
 * Jobs that are to be fetched, the latest first.
 * @param {number} most
 */
export const wanted = (most) =>
  transact(["jobs"], "readonly", async ({ store }) =>
    latest(await store.index("wanted").getAll())
      .slice(0, most)
      .map(({ job }) => job),
  );

/**
 * Jobs that are whole up to an earlier entry than the one with this number; the latest first.
 * @param {Over<"jobs">} tx
 * @param {number} seq
 */
const lateIn = async (tx, seq) =>
  latest((await tx.objectStore("jobs").getAll()).filter((row) => row.whole && (row.upto ?? 0) < seq)).map(
    ({ job }) => job,
  );

/**
 * The same; where there are none, the place is kept in the same transaction: all jobs that are whole are so up to
 * there.
 * @param {number} seq
 * @param {Place} place
 */
export const lateOr = (seq, place) =>
  transact(["jobs", "meta"], "readwrite", async (tx) => {
    const late = await lateIn(tx, seq);
    const meta = tx.objectStore("meta");
    const before = await meta.get("sync");
    if (!late.length && before?.epoch === place.epoch) await meta.put({ ...before, ...place }, "sync");
    return late;
  });

/**
 * The list of all the shop's jobs was read, and the feed since it was begun: where each is whole, this device holds
 * everything from now on; what is not is to be fetched. Whether it holds everything.
 */
export const allWhole = () =>
  transact(["jobs", "meta"], "readwrite", async (tx) => {
    const jobs = tx.objectStore("jobs");
    const lacking = (await jobs.getAll()).filter(({ whole }) => !whole);
    for (const row of lacking) await jobs.put({ ...row, wanted: 1 });
    const at = await tx.objectStore("meta").get("sync");
    if (lacking.length || !at) return false;
    const { some: _, rest: __, unlisted: ___, ...place } = at;
    await tx.objectStore("meta").put(place, "sync");
    return true;
  });

/**
 * Keep how jobs look in the shop's list, of those that are not here; they are to be fetched where that is `fetch`. Of
 * any other that is not here nothing is known any more: its card may have words that the shop has erased since.
 * @param {JobLine[]} lines
 * @param {{ fetch: boolean }} how
 */
export const noteLines = (lines, { fetch }) =>
  transact(["jobs"], "readwrite", async ({ store }) => {
    const listed = new Set(lines.map(({ job }) => job));
    for (const row of await store.getAll())
      if (!row.whole && row.card && !listed.has(row.job)) await store.put({ ...row, card: null });
    for (const line of lines) {
      const row = await store.get(line.job);
      if (row?.whole) continue;
      const card = cardOfLine(line);
      await store.put({
        ...(row ?? awayRow(line.job)),
        last: lastOf(line),
        shelf: shelfOf(card),
        card,
        ...(fetch || row?.wanted ? { wanted: 1 } : { wanted: undefined }),
      });
    }
  });

/**
 * The shop's book is another one: how far it is whole means nothing any more, and what was only said to be there is
 * asked for anew. Inside a transaction.
 * @param {Over<"entries" | "jobs">} tx
 */
export async function ofOtherBook(tx) {
  const jobs = tx.objectStore("jobs");
  for (const row of await jobs.getAll()) {
    if (row.whole) {
      const { upto: _, ...rest } = row;
      await jobs.put(rest);
    } else if (await tx.objectStore("entries").index("job").count(row.job)) await jobs.put({ ...row, wanted: 1 });
    else await jobs.delete(row.job);
  }
}
