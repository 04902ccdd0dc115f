/* One round with the shop: push what waits, oldest first, then pull what is new. One page at a time, under a lock.

   Owns the order of things and what an answer means for the marks. When to go a round is pace.js's business. The
   server answers row by row; what it refuses is parked with the reason. An answer under another epoch than last time
   means the shop's book was restored or is another one, and so does a cursor that does not fit it (cursor.js): then
   the whole log is sent again and everything pulled. */

import { recall, remember, transact } from "../book/base.js";
import { access } from "../book/device.js";
import { apart, merge } from "../book/log.js";
import { noteNumbers } from "../book/numbers.js";
import { allAgain, answered, waiting } from "../book/outbox.js";
import { tell } from "../book/tabs.js";
import { request, Trouble } from "./client.js";
import { CODES } from "./codes.js";
import {
  ALL_OF_IT,
  behind,
  beyond,
  furthest,
  holdsSome,
  isPage,
  mayLeap,
  NOWHERE,
  pageAfter,
  strange,
} from "./cursor.js";

/** @import { Answer, Entry, Place } from "../types/log.d.ts" */
/** @import { Feed, Row } from "../types/wire.d.ts" */
/** @import { Over } from "../vendor/idb.mjs" */

/**
 * @typedef {object} Told What a round came to.
 * @property {number} pushed
 * @property {number} pulled
 * @property {number} disputed
 * @property {string[]} refused ids
 * @property {number} unread how many were refused for a reason that this version does not know; they keep waiting
 * @property {number | null} clock_ms how far this phone's clock is ahead of the shop's
 */

const MOST = 100;
const BATCH_BYTES = 1024 * 1024;
const PUSH_PATIENCE_MS = 20_000;
const LOCK_PATIENCE_MS = 60_000;

/** What a device needs that holds some jobs of a large book only: few do, and it is fetched when one does. */
const some = async () => ({ ...(await import("../book/whole.js")), ...(await import("./fetch.js")) });

// A slow network gets fewer at once, so that a batch can end within the patience.
let most = MOST;
/** @type {Promise<unknown>} */
let inPage = Promise.resolve();

/**
 * Run work while no other page (or, without locks, nothing else on this page) goes a round.
 * @template T
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function alone(work) {
  if (!navigator.locks) {
    const turn = inPage.then(work, work);
    inPage = turn.catch(() => {});
    return turn;
  }
  let begun = false;
  try {
    return await navigator.locks.request("bothends-sync", { signal: AbortSignal.timeout(LOCK_PATIENCE_MS) }, () => {
      begun = true;
      return work();
    });
  } catch (error) {
    throw begun ? error : new Trouble("other-page");
  }
}

/** How far the book of this shop has been read. */
const place = async () => (await recall("sync")) ?? NOWHERE;

/**
 * Note which book answered; true if it is another one than before and everything must go again.
 * @param {string} epoch
 * @param {{ other?: boolean, holds?: boolean, acked?: Place["acked"] }} [found] `other` where another book says the
 *   same epoch; `holds` where this device is to hold some of its jobs only; `acked` what it has answered for, noted
 *   before any mark says that it is there
 */
async function anotherBook(epoch, { other = false, holds = false, acked } = {}) {
  const held = (await place()).some ? await some() : null;
  const anew = await transact(["entries", "marks", "meta", "jobs"], "readwrite", async (tx) => {
    const meta = tx.objectStore("meta");
    const before = (await meta.get("sync")) ?? NOWHERE;
    if (before.epoch === epoch && !other) {
      const further = beyond(before, acked);
      if (further) await meta.put(further, "sync");
      return false;
    }
    /** @type {Place} */
    const start = {
      epoch,
      after: 0,
      ...(holds || before.some ? { some: true } : {}),
      ...(before.rest ? { rest: ALL_OF_IT } : {}),
    };
    await meta.put(beyond(start, acked) ?? start, "sync");
    await held?.ofOtherBook(tx);
    // A first answer has nothing to be compared with, and nothing was sent to another book.
    if (before.epoch !== null) await allAgain(tx.objectStore("marks"));
    return before.epoch !== null;
  });
  if (anew) tell({ what: "marks", jobs: [] });
  return anew;
}

/**
 * Entries of one batch: at most `most`, and not too many bytes.
 * @param {Set<string>} passed ids that are not sent again in this round
 */
async function batch(passed) {
  const found = (await waiting(most + passed.size)).filter(({ id }) => !passed.has(id)).slice(0, most);
  let bytes = 0;
  const end = found.findIndex((entry) => (bytes += JSON.stringify(entry).length) > BATCH_BYTES);
  return end < 1 ? found.slice(0, end < 0 ? found.length : 1) : found.slice(0, end);
}

/**
 * The mark that a row of the answer means; null for a row that says nothing we know: it keeps waiting.
 * @param {Partial<Row> | undefined} row
 * @param {Entry} entry
 * @returns {Answer | null}
 */
function markOf(row, entry) {
  const { status, code = "", path = "$", detail = "", stored, erased } = row ?? {};
  if (status === "stored" || status === "known")
    return { id: entry.id, state: "shop", ...(erased === true || erased === "car" ? { erased } : {}) };
  if (status === "refused" && Object.hasOwn(CODES, code))
    return { id: entry.id, state: "refused", why: { code, path, detail }, stored };
  return null;
}

/**
 * The marks that the rows of an answer mean; entries of which they say nothing that we know join `passed`.
 * @param {Row[]} rows
 * @param {Entry[]} entries
 * @param {Set<string>} passed
 */
function marksOf(rows, entries, passed) {
  return entries.flatMap((entry, i) => {
    const mark = markOf(
      rows.find((row) => row?.index === i),
      entry,
    );
    if (!mark) passed.add(entry.id);
    return mark ?? [];
  });
}

/**
 * @param {Entry[]} entries
 * @param {string} key
 */
async function send(entries, key) {
  try {
    const reply = await request("POST", "/api/entries", { body: { entries }, key, patience_ms: PUSH_PATIENCE_MS });
    most = Math.min(MOST, most * 2);
    return reply;
  } catch (error) {
    // A proxy on the way may take less at once than the shop does.
    if (error instanceof Trouble && (error.code === "took-too-long" || error.status === 413))
      most = Math.max(1, Math.floor(most / 4));
    throw error;
  }
}

/**
 * @param {string} key
 * @param {Told} told
 * @returns {Promise<boolean>} whether the book is another one, and all must go again
 */
async function push(key, told) {
  /** @type {Set<string>} */
  const passed = new Set();
  for (;;) {
    const entries = await batch(passed);
    if (!entries.length) {
      told.unread = passed.size;
      return false;
    }
    const { status, body, clock_ms } = await send(entries, key);
    told.clock_ms = clock_ms ?? told.clock_ms;
    if (status !== 200) {
      // The batch as a whole was refused: find out one by one which entry it is about.
      if (entries.length > 1) {
        most = 1;
        continue;
      }
      const mark = markOf({ ...body, status: "refused" }, entries[0]);
      told.refused.push(...(await answered(mark ? [mark] : [])));
      continue;
    }
    if (!Array.isArray(body.rows) || typeof body.epoch !== "string") throw new Trouble("not-ours", { status });
    /** @type {Row[]} */
    const rows = body.rows;
    const anew = await anotherBook(body.epoch, { acked: furthest(rows) });
    const marks = marksOf(rows, entries, passed);
    told.refused.push(...(await answered(marks)));
    told.pushed += marks.filter((mark) => mark.state === "shop").length;
    // Nothing moved on: asking again at once would go round in a circle.
    if (!marks.length && !rows.some((row) => row?.status === "refused")) throw new Trouble("not-ours", { status });
    if (anew) return true;
  }
}

/**
 * Note how far contents that differ were read.
 * @param {Over<"meta">} tx
 * @param {Feed} page
 */
async function noteOthers(tx, { epoch, others_next }) {
  const meta = tx.objectStore("meta");
  const at = await meta.get("sync");
  if (at?.epoch === epoch) await meta.put({ ...at, others: others_next }, "sync");
}

/**
 * The page behind a place.
 * @param {string} key
 * @param {Place} at
 * @param {Told} told
 * @returns {Promise<Feed>}
 */
async function pageBehind(key, at, told) {
  const { status, body, clock_ms } = await request("GET", pageAfter(at), { key });
  told.clock_ms = clock_ms ?? told.clock_ms;
  if (status !== 200 || !isPage(body, at)) throw new Trouble("not-ours", { status });
  return body;
}

/**
 * Keep a page, and that it was read.
 * @param {Feed} page
 * @param {Place} at
 * @param {Told} told
 */
async function keepPage(page, at, told) {
  const found = await merge(page.entries, {
    came: "shop",
    only: at.some ? (await some()).heldOnly : undefined,
    also: async (tx) => {
      await tx.objectStore("meta").put(behind(page, at), "sync");
      await noteNumbers(tx.objectStore("meta"), page.numbers);
    },
  });
  told.pulled += found.added.length;
  told.disputed += found.disputed.length;
  return page.entries.length > 0 && page.next < page.last;
}

/**
 * @param {string} key
 * @param {Told} told
 * @returns {Promise<boolean>} whether the book is another one, and all must go again
 */
async function pull(key, told) {
  for (;;) {
    const at = await place();
    const page = await pageBehind(key, at, told);
    const other = strange(page, at);
    if (page.epoch !== at.epoch || other) {
      if (await anotherBook(page.epoch, { other, holds: holdsSome(page, at) })) return true;
      continue;
    }
    if (mayLeap(page, at)) {
      if (await (await some()).leap(key, at, page.last)) continue;
      return anotherBook(page.epoch, { other: true });
    }
    if (await keepPage(page, at, told)) continue;
    if (at.some) told.pulled += await (await some()).goOn(key, at);
    // What differs is about entries that are here by now.
    if (!page.others?.length || !(page.others_next > (at.others ?? 0))) return false;
    told.disputed += (await apart(page.others, { also: (tx) => noteOthers(tx, page) })).length;
  }
}

/**
 * Go one round with the shop. Rejects with a Trouble (or NotKept), and then everything not answered is still waiting.
 */
export const round = () =>
  alone(async () => {
    /** @type {Told} */
    const told = { pushed: 0, pulled: 0, disputed: 0, refused: [], unread: 0, clock_ms: null };
    const held = await access();
    if (!held) throw new Trouble("not-paired");
    // A book that changes twice under one round is left for the next.
    for (let turns = 0; turns < 3; turns += 1) {
      if ((await push(held.key, told)) || (await pull(held.key, told))) continue;
      break;
    }
    await remember("synced_at", Date.now());
    tell({ what: "marks", jobs: [] });
    if (told.unread) throw new Trouble("not-understood");
    return told;
  });

/**
 * Whether the shop's book is not where this browser has read it to.
 * @param {{ epoch: string, last: number }} news
 */
export async function isBehind({ epoch, last }) {
  const at = await place();
  return epoch !== at.epoch || last !== at.after;
}

/** When a round last went well, ms since 1970 by this phone's clock, or null. */
export const syncedAt = async () => (await recall("synced_at")) ?? null;
