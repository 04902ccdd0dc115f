/* How far a phone has read the shop's book, and whether what answers is that book.

   An epoch tells a book that was restored by the command. A file that somebody copied back by hand keeps it, so the
   place also has the entry it ended at: an entry never changes its number, so where the shop has another one under
   it, or none, the book is another one. Pure: keeps nothing, asks nobody. */

/** @import { Place } from "../types/log.d.ts" */
/** @import { Feed, JobPage, Row } from "../types/wire.d.ts" */

/** @type {Place} */
export const NOWHERE = { epoch: null, after: 0 };

/**
 * The entry with the highest number among those the shop says it has.
 * @param {Row[]} rows
 */
export const furthest = (rows) =>
  rows.reduce((/** @type {Place["acked"]} */ best, { id, seq, status }) => {
    const there = id && seq && status !== "refused";
    return there && seq > (best?.seq ?? 0) ? { id, seq } : best;
  }, undefined);

/** A device that holds some jobs is to fetch all: from the beginning of the list. @type {NonNullable<Place["rest"]>} */
export const ALL_OF_IT = { state: "", after: 0 };

const PAGE = 500;
/** So many entries ahead a device that holds some jobs asks for these by name: the feed has those of all. */
export const LEAP = 2000;

/**
 * Where the page behind a place is. Of a book that is not known yet, or that is gone through by jobs, only how far it
 * is matters.
 * @param {Place} at
 */
export const pageAfter = ({ after, epoch, some = false, others = 0 }) =>
  `/api/entries?after=${after}&limit=${epoch === null || (some && !after) ? 1 : PAGE}&others=${others}`;

/**
 * Whether a device that has read nothing yet is to hold some jobs of this book only: a book so large that copying it
 * would keep somebody waiting, of a shop that can be asked for the entries of a job.
 * @param {Feed} page
 * @param {Place} at
 */
export const holdsSome = ({ jobs, last }, { epoch }) => epoch === null && jobs !== undefined && last > LEAP;

/**
 * Whether a device that holds some jobs is so far behind that it goes on by jobs, and then from the end of the book.
 * @param {Feed} page
 * @param {Place} at
 */
export const mayLeap = ({ last }, { after, some }) => Boolean(some) && (!after || last - after > LEAP);

/**
 * What is to be read after a page of the list: those that were hidden stand in a list of their own.
 * @param {NonNullable<Place["rest"]>} rest
 * @param {JobPage} page
 * @returns {NonNullable<Place["rest"]>}
 */
export function restAfter({ state }, { next }) {
  if (next) return { state, after: next };
  return state === "" ? { state: "hidden", after: 0 } : { state, after: 0, ended: true };
}

/**
 * Whether an answer can be a page of the feed at all.
 * @param {any} page
 * @param {Place} at
 * @returns {page is Feed}
 */
export const isPage = (page, { epoch, after }) =>
  Array.isArray(page.entries) && typeof page.epoch === "string" && (page.next >= after || page.epoch !== epoch);

/**
 * Whether a page is of another book than the place was noted in, although both may say one epoch.
 * @param {Feed} page
 * @param {Place} at
 */
export function strange({ after_id, entries, next, last }, { after, id, acked }) {
  if (last < Math.max(after, acked?.seq ?? 0)) return true;
  // A place of an older app has no id, and an older shop says none.
  if (id && after_id !== undefined && after_id !== id) return true;
  return Boolean(acked && acked.seq <= next && !entries.some((entry) => entry?.id === acked.id));
}

/**
 * The place behind a page.
 * @param {Feed} page
 * @param {Place} at
 * @returns {Place}
 */
export function behind({ epoch, after_id, entries, next }, { id, acked, others, some, unlisted, rest }) {
  const last = entries.at(-1)?.id ?? id ?? after_id;
  return {
    epoch,
    after: next,
    ...(last ? { id: last } : {}),
    ...(acked && acked.seq > next ? { acked } : {}),
    ...(others ? { others } : {}),
    ...(some ? { some } : {}),
    ...(unlisted ? { unlisted } : {}),
    ...(rest ? { rest } : {}),
  };
}

/**
 * The place with what the shop has answered for beyond it; null where that changes nothing.
 * @param {Place} at
 * @param {Place["acked"]} acked
 * @returns {Place | null}
 */
export const beyond = (at, acked) =>
  acked && acked.seq > Math.max(at.after, at.acked?.seq ?? 0) ? { ...at, acked } : null;
