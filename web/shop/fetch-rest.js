/* The rest of a large book, for a device that holds some of its jobs: the list of all jobs page by page, then their
   entries, a few jobs at a time, each of them whole as ever (fetch.js). Once nothing is lacking, the device holds
   everything, and goes on so.

   A PC does it by itself, a phone when it is asked to. It goes on while the page is seen, no job is open in it and
   nothing else is to do, and after each round with the shop; where it stops, it goes on the next time. */

import { recall, transact } from "../book/base.js";
import { access } from "../book/device.js";
import { listen } from "../book/tabs.js";
import { allWhole, noteLines, wanted } from "../book/whole.js";
import { onPc } from "../work/this-device.js";
import { Trouble } from "./client.js";
import { ALL_OF_IT, restAfter } from "./cursor.js";
import { fetchJobs, lines, TOGETHER } from "./fetch.js";
import { alone } from "./sync.js";

/** @import { Place } from "../types/log.d.ts" */

/** @typedef {NonNullable<Place["rest"]>} Rest */
/** How many of the shop's jobs a device holds, of how many where the shop can be asked; whether the others are on their
 *   way. @typedef {import("../work/holding-words.js").Holding} Holding */

/** Jobs of a page of the list. */
const LISTED = 100;
/** What stands in for a browser's idle time where it tells none. */
const PAUSE_MS = 200;

/**
 * Note how far the list was read.
 * @param {Rest} rest
 */
const noteRest = (rest) =>
  transact(["meta"], "readwrite", async ({ store }) => {
    const at = await store.get("sync");
    if (at?.some) await store.put({ ...at, rest }, "sync");
  });

/** Fetch the next few jobs, or read the next page of the list; false where there is nothing (more) to do. */
const step = () =>
  alone(async () => {
    const [held, at] = await Promise.all([access(), recall("sync")]);
    if (!held || !at?.some || !at.rest || !at.after) return false;
    const jobs = await wanted(TOGETHER);
    if (jobs.length) await fetchJobs(held.key, jobs, { after: 0, epoch: at.epoch });
    else if (at.rest.ended) return !(await allWhole());
    else {
      const { state, after } = at.rest;
      const page = await lines(held.key, { state, limit: LISTED, ...(after ? { after } : {}) });
      await noteLines(page.jobs, { fetch: true });
      await noteRest(restAfter(at.rest, page));
    }
    return true;
  });

const idle = () =>
  new Promise((done) => (globalThis.requestIdleCallback ?? ((run) => setTimeout(run, PAUSE_MS)))(done));

/** @type {() => boolean} */
let atWork = () => false;
let going = false;

/** Go on for as long as nobody is at work. */
async function goOn() {
  if (going) return;
  going = true;
  try {
    const at = await recall("sync");
    if (at?.some && !at.rest && onPc()) await alone(() => noteRest(ALL_OF_IT));
    while (!document.hidden && !atWork() && (await step())) await idle();
  } catch (error) {
    // The shop is out of reach, the disk is full: the round says so, and the next one goes on.
    if (!(error instanceof Error) || !["Trouble", "NotKept"].includes(error.name)) throw error;
  } finally {
    going = false;
  }
}

/**
 * Go on by itself after each round.
 * @param {{ atWork: () => boolean }} how whether a job is open
 */
export function startRest(how) {
  ({ atWork } = how);
  listen((message) => message.what === "marks" && goOn());
  goOn();
}

/** Fetch all jobs, from now on, because a person asked. */
export async function fetchRest() {
  const at = await recall("sync");
  if (at?.some && !at.rest) await alone(() => noteRest(ALL_OF_IT));
  goOn();
}

/**
 * How many jobs the shop has: as it says, where it is asked and can be; else as it said last, if it did.
 * @param {string} key
 * @param {string | null} epoch of its book
 * @param {boolean} ask
 * @returns {Promise<Pick<Holding, "of" | "then">>}
 */
async function shopJobs(key, epoch, ask) {
  try {
    if (ask) {
      const { total, by_state: states } = await lines(key, { limit: 1 });
      const of = total + (states.hidden ?? 0);
      await transact(["meta"], "readwrite", ({ store }) => store.put({ epoch, total: of }, "shop_jobs"));
      return { of };
    }
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
  }
  const last = await recall("shop_jobs");
  return last && last.epoch === epoch ? { of: last.total, then: true } : { of: null };
}

/**
 * How many of the shop's jobs are here; null where this device holds all there are.
 * @param {{ ask?: boolean }} [how] whether the shop is asked how many there are
 * @returns {Promise<Holding | null>}
 */
export async function holding({ ask = true } = {}) {
  const [held, at] = await Promise.all([access(), recall("sync")]);
  if (!held || !at?.some) return null;
  const rows = await transact(["jobs"], "readonly", ({ store }) => store.getAll());
  const here = rows.filter(({ whole }) => whole).length;
  return { here, asked: Boolean(at.rest), ...(await shopJobs(held.key, at.epoch, ask)) };
}
