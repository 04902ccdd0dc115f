/* Jobs of a large book, fetched one by one: those that are open or were worked on last before all others, the rest when
   somebody opens them.

   A device that holds some jobs only (book/whole.js) comes up to the end of the book by asking for the entries of those
   it holds, and goes on from there by the feed. Whatever is cut off is fetched by the next round: what is wanted is
   noted, and the place moves once nothing that is whole lags behind it. Owns what is asked for; sync.js when. */

import { recall, transact } from "../book/base.js";
import { access } from "../book/device.js";
import { merge } from "../book/log.js";
import { noteNumbers } from "../book/numbers.js";
import { shelfOf } from "../book/shelf.js";
import { lateOr, noteLines, noteWhole, rowOf, wanted } from "../book/whole.js";
import { cardOfLine, lastOf } from "../work/card-line.js";
import { request, Trouble } from "./client.js";
import { ALL_OF_IT, isPage, pageAfter, strange } from "./cursor.js";

/** @import { Entry, JobRow, Place } from "../types/log.d.ts" */
/** @import { Feed, JobLine, JobPage } from "../types/wire.d.ts" */

/** Open jobs that are fetched by themselves, and jobs that were worked on last, whether open or not. */
const OPEN = 200;
const RECENT = 40;
/** Jobs that are asked for in one go: small parts are there sooner, and lost sooner where the network goes. */
export const TOGETHER = 10;
/** Entries of a page. */
const PAGE = 500;
/** Jobs of the shop's list that a search shows. */
const FOUND = 30;
const TRIES = 3;

/**
 * Where a page of the entries of some jobs is.
 * @param {string[]} jobs
 * @param {number} after
 */
const pageOf = (jobs, after) => `/api/entries?after=${after}&limit=${PAGE}${jobs.map((job) => `&job=${job}`).join("")}`;

/**
 * All entries of some jobs after a number, and how far the book was when the last of them came.
 * @param {string} key
 * @param {string[]} jobs
 * @param {{ after: number, epoch: string | null }} from
 * @returns {Promise<{ entries: Entry[], numbers: Record<string, number>, upto: number, epoch: string }>}
 */
async function entriesOf(key, jobs, { after, epoch }) {
  /** @type {Entry[]} */
  const entries = [];
  /** @type {Record<string, number>} */
  const numbers = {};
  for (let next = after; ;) {
    const { status, body } = await request("GET", pageOf(jobs, next), { key });
    // A shop of before takes no names of jobs and sends what there is of all; another book is the round's business.
    const sound = isPage(body, { epoch, after: next }) && body.epoch === epoch && Array.isArray(body.jobs);
    if (status !== 200 || !sound) throw new Trouble("not-ours", { status });
    const page = /** @type {Feed} */ (body);
    entries.push(.../** @type {Entry[]} */ (page.entries));
    Object.assign(numbers, page.numbers);
    if (page.entries.length < PAGE) return { entries, numbers, upto: page.last, epoch: page.epoch };
    next = page.next;
  }
}

/**
 * Fetch what is new of some jobs and keep it, whole or not at all; how many entries came.
 * @param {string} key
 * @param {string[]} jobs
 * @param {{ after: number, epoch: string | null }} from
 */
export async function fetchJobs(key, jobs, from) {
  const { entries, numbers, ...how } = await entriesOf(key, jobs, from);
  const also = async (/** @type {import("../vendor/idb.mjs").Over<import("../vendor/idb.mjs").Name>} */ tx) => {
    await noteWhole(tx, jobs, how);
    await noteNumbers(tx.objectStore("meta"), numbers);
  };
  return (await merge(entries, { came: "shop", also })).added.length;
}

/**
 * A page of the shop's list of jobs.
 * @param {string} key
 * @param {{ [name: string]: string | number }} asked
 * @returns {Promise<JobPage>}
 */
export async function lines(key, asked) {
  const { status, body } = await request("GET", `/api/jobs?${new URLSearchParams(/** @type {any} */ (asked))}`, {
    key,
  });
  if (status !== 200 || !Array.isArray(body.jobs)) throw new Trouble("not-ours", { status });
  return body;
}

/**
 * Note the jobs that are to be here: cards of them stand before their entries come. Whether the shop's list was whole.
 * @param {string} key
 */
async function listJobs(key) {
  const [open, recent] = await Promise.all([lines(key, { state: "open", limit: OPEN }), lines(key, { limit: RECENT })]);
  await noteLines([...open.jobs, ...recent.jobs], { fetch: true });
  return !(open.unread || recent.unread);
}

/**
 * Fetch the jobs that are wanted, the latest first; before that what is open, where the shop had not read all its jobs
 * when it was asked last. How many entries came.
 * @param {string} key
 * @param {Place} place
 */
export async function goOn(key, { unlisted }) {
  if (unlisted && (await listJobs(key)))
    await transact(["meta"], "readwrite", async ({ store }) => {
      const { unlisted: _, ...at } = /** @type {Place} */ (await store.get("sync"));
      await store.put(at, "sync");
    });
  let came = 0;
  for (;;) {
    const jobs = await wanted(TOGETHER);
    const at = await recall("sync");
    if (!jobs.length || !at) return came;
    came += await fetchJobs(key, jobs, { after: 0, epoch: at.epoch });
  }
}

/**
 * Go on from the end of the book: whatever is held is brought up to there by jobs. False where the book is not the one
 * that was read.
 * @param {string} key
 * @param {Place} at
 * @param {number} last the highest number in the book
 */
export async function leap(key, at, last) {
  const pages = [{ epoch: at.epoch, after: last }, ...(at.acked ? [{ epoch: at.epoch, after: at.acked.seq }] : [])];
  const [end, acked] = await Promise.all(pages.map((one) => request("GET", pageAfter(one), { key })));
  if (!isPage(end.body, pages[0]) || end.body.epoch !== at.epoch) throw new Trouble("not-ours", { status: end.status });
  if (acked && at.acked && strange(acked.body, { epoch: at.epoch, after: at.acked.seq, id: at.acked.id })) return false;
  const whole = await listJobs(key);
  /** @type {Place} */
  const place = {
    epoch: at.epoch,
    after: last,
    id: end.body.after_id ?? undefined,
    acked: undefined,
    unlisted: !whole,
    // What the feed would have told is passed over.
    rest: at.rest && ALL_OF_IT,
  };
  for (;;) {
    const late = await lateOr(last, place);
    if (!late.length) return true;
    await fetchJobs(key, late.slice(0, TOGETHER), { after: at.after, epoch: at.epoch });
  }
}

/**
 * Fetch one job that somebody opens: "here" once it is whole; "none" where the shop has no such job, or this device
 * holds whatever the shop has; "away" where the shop cannot be reached now.
 * @param {string} job
 * @returns {Promise<"here" | "none" | "away">}
 */
export async function fetchJob(job) {
  const [held, at, row] = await Promise.all([access(), recall("sync"), rowOf(job)]);
  if (!held || !at?.some) return "none";
  try {
    for (let i = 0; i < TRIES; i += 1) {
      await fetchJobs(held.key, [job], { after: 0, epoch: at.epoch });
      const now = await rowOf(job);
      if (!now) return "none";
      if (now.whole) return "here";
    }
    return "away";
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    return row?.whole ? "here" : "away";
  }
}

/**
 * Jobs that only the shop has and in which these words stand, as rows of the list; null where this device holds all
 * there is. `away` where the shop cannot be reached, `more` how many jobs it found beyond those looked at, `unread` how
 * many it has still to read itself.
 * @param {string} words
 * @returns {Promise<{ rows: JobRow[], away: boolean, more: number, unread: number } | null>}
 */
export async function findAtShop(words) {
  const [held, at] = await Promise.all([access(), recall("sync")]);
  if (!held || !at?.some) return null;
  try {
    const found = await lines(held.key, { query: words, limit: FOUND });
    const rows = await Promise.all(
      found.jobs.map(async (/** @type {JobLine} */ line) => {
        const here = await rowOf(line.job);
        const card = cardOfLine(line);
        return here?.whole
          ? null
          : { job: line.job, shelf: shelfOf(card), last: lastOf(line), grown: 0, made: "", whole: false, card };
      }),
    );
    const more = Math.max(0, found.total - found.jobs.length);
    return { rows: rows.filter((row) => row !== null), away: false, more, unread: found.unread ?? 0 };
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    return { rows: [], away: true, more: 0, unread: 0 };
  }
}
