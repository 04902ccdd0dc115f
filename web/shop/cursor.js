/* How far a phone has read the shop's book, and whether what answers is that book.

   An epoch tells a book that was restored by the command. A file that somebody copied back by hand keeps it, so the
   place also has the entry it ended at: an entry never changes its number, so where the shop has another one under
   it, or none, the book is another one. Pure: keeps nothing, asks nobody. */

/** @import { Place } from "../types/log.d.ts" */
/** @import { Feed, Row } from "../types/wire.d.ts" */

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

const PAGE = 500;

/**
 * Where the page behind a place is.
 * @param {Place} at
 */
export const pageAfter = ({ after, others = 0 }) => `/api/entries?after=${after}&limit=${PAGE}&others=${others}`;

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
export function behind({ epoch, after_id, entries, next }, { id, acked, others }) {
  const last = entries.at(-1)?.id ?? id ?? after_id;
  return {
    epoch,
    after: next,
    ...(last ? { id: last } : {}),
    ...(acked && acked.seq > next ? { acked } : {}),
    ...(others ? { others } : {}),
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
