/* What the screens draw from: each job's entries and what they come to, in memory and in step with the log.

   Folds in the worker when a job is first looked at or has changed (on whichever page), never twice for the same
   entries. Reading is at once (`peek`) or a promise (`look`). Owns no facts: all of it can be had again from the log. */

import { fold } from "./fold.js";
import { entries } from "./log.js";
import { listen } from "./tabs.js";

/** Entries that go to the worker in one go. */
const MOST = 500;
const versions = new Map();
const held = new Map();
let age = 0;
const version = (job) => `${age}.${versions.get(job) ?? 0}`;

listen((message) => {
  if (message.what === "entries") for (const job of message.jobs) versions.set(job, (versions.get(job) ?? 0) + 1);
});
// A page taken out of the browser's back store has heard nothing meanwhile.
globalThis.addEventListener?.("pageshow", (event) => event.persisted && (age += 1));

/** {entries, sheet, request, stages, timeline} of a job as it is now, or null where it must be looked up first. */
export function peek(job) {
  const found = held.get(job);
  return found?.version === version(job) ? found.all : null;
}

async function read(jobs) {
  const rows = await Promise.all(
    jobs.map(async (job) => ({ job, version: version(job), entries: await entries(job) })),
  );
  for (let from = 0, to = 0; from < rows.length; from = to) {
    let many = 0;
    while (to < rows.length && (to === from || many + rows[to].entries.length <= MOST))
      many += rows[to++].entries.length;
    const part = rows.slice(from, to);
    const come = await fold(part.map(({ job, entries: list }) => ({ job, entries: list })));
    part.forEach((row, i) => held.set(row.job, { version: row.version, all: { entries: row.entries, ...come[i] } }));
  }
}

/** The same, looked up where needed; `entries` is empty where this phone has no such job. Rejects with a SolverProblem. */
export async function look(job) {
  while (!peek(job)) await read([job]);
  return peek(job);
}

/** Look up several jobs, a part at a time; `ready()` after each part. */
export async function lookAll(jobs, ready) {
  const lacking = jobs.filter((job) => !peek(job));
  for (let i = 0; i < lacking.length; i += 25) {
    await read(lacking.slice(i, i + 25));
    ready();
  }
}
