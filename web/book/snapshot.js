/* What the screens draw from: each job's entries and what they come to, in memory and in step with the log.

   Folds in the worker when a job is first looked at or has changed (on whichever page), never twice for the same
   entries. Reading is at once (`peek`) or a promise (`look`). Owns no facts: all of it can be had again from the
   log. */

import { transact } from "./base.js";
import { listen } from "./tabs.js";

/** @import { Entry, JobRow } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */

/** @typedef {Folded & { entries: Entry[] }} Snapshot A job's entries and what they come to. */

/** Entries that go to the worker in one go. */
const MOST = 500;
/** @type {Map<string, number>} */
const versions = new Map();
/** @type {Map<string, { version: string, all: Snapshot }>} */
const held = new Map();
let age = 0;
/** @param {string} job */
const version = (job) => `${age}.${versions.get(job) ?? 0}`;

listen((message) => {
  if (message.what === "entries") for (const job of message.jobs) versions.set(job, (versions.get(job) ?? 0) + 1);
});
// A page taken out of the browser's back store has heard nothing meanwhile.
globalThis.addEventListener?.("pageshow", (event) => {
  if (event.persisted) age += 1;
});

/**
 * A job as it is now, or null where it must be looked up first.
 * @param {string} job
 */
export function peek(job) {
  const found = held.get(job);
  return found && found.version === version(job) ? found.all : null;
}

/**
 * A job's entries and row, as of one moment; none where it is not here whole.
 * @param {string} job
 */
const written = (job) =>
  transact(["entries", "jobs"], "readonly", async (tx) => {
    const [entries, row] = await Promise.all([
      /** @type {Promise<Entry[]>} */ (tx.objectStore("entries").index("job").getAll(job)),
      tx.objectStore("jobs").get(job),
    ]);
    return { entries: row && !row.whole ? [] : entries, row };
  });

/**
 * Keep the cards of jobs that were folded, once nobody waits for anything.
 * @param {{ job: string, row: JobRow | undefined, come: Folded }[]} folded
 */
function keepCards(folded) {
  const keep = async () => {
    const { keepCard, madeBy } = await import("./remake.js");
    const made = madeBy();
    for (const { job, row, come } of folded) if (row && row.made !== made) await keepCard(job, row.grown, come);
  };
  (globalThis.requestIdleCallback ?? setTimeout)(() => keep().catch(() => {}));
}

/** @param {string[]} jobs */
async function read(jobs) {
  // Fetched while the entries are read: the list of jobs stands without it.
  const folding = import("./fold.js");
  folding.catch(() => {});
  const rows = await Promise.all(jobs.map(async (job) => ({ job, version: version(job), ...(await written(job)) })));
  for (let from = 0, to = 0; from < rows.length; from = to) {
    let many = 0;
    while (to < rows.length && (to === from || many + rows[to].entries.length <= MOST))
      many += rows[to++].entries.length;
    const part = rows.slice(from, to);
    const come = await (await folding).fold(part.map(({ job, entries: list }) => ({ job, entries: list })));
    keepCards(part.map(({ job, row }, i) => ({ job, row, come: come[i] })).filter(({ row }) => row));
    part.forEach((row, i) => held.set(row.job, { version: row.version, all: { entries: row.entries, ...come[i] } }));
  }
}

/**
 * The same, looked up where needed; `entries` is empty where this phone has no such job. Rejects with a SolverProblem.
 * @param {string} job
 * @returns {Promise<Snapshot>}
 */
export async function look(job) {
  for (;;) {
    const found = peek(job);
    if (found) return found;
    await read([job]);
  }
}

/**
 * Look up several jobs, a part at a time; `ready()` after each part.
 * @param {string[]} jobs
 * @param {() => void} ready
 */
export async function lookAll(jobs, ready) {
  const lacking = jobs.filter((job) => !peek(job));
  for (let i = 0; i < lacking.length; i += 25) {
    await read(lacking.slice(i, i + 25));
    ready();
  }
}
