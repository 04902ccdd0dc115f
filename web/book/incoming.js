/* What entries that come in a link or a file would do, worked out before any of them is kept: how many are new, and for
   a job that is here already what it is and what it would be. A stranger may have made them, so that sizes are bounded
   before anything is folded, and folding has an end. Keeps nothing; log.merge does that when somebody agrees. */

import { PER_JOB } from "../model/facts.js";
import { foldWithin } from "./fold.js";
import { entries } from "./log.js";
import { same, unfit } from "./same.js";

/** @import { Entry } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */

/** @typedef {{ job: string, was: Folded | null, is: Folded }} OfJob `was` is null where the job is not here */
/**
 * @typedef {object} Preview
 * @property {{ added: number, known: number, disputed: number, unfit: number }} told how many entries
 * @property {number} fresh jobs that are not here yet
 * @property {OfJob[]} looked jobs that would change and were worked out
 * @property {number} more jobs here that would change too, and were not
 */

/** Jobs that are worked out of one file; more would take minutes on a phone. */
export const MOST_LOOKED = 20;
/** No honest job takes as long: 4,000 corrections and strikes of one reading take half a second on a PC. */
const MOST_MS = 30_000;

const WORDS = {
  full: `With this a job would have more than ${PER_JOB} records, the most that one may have. Nothing was kept.`,
  endless: "This takes too long to work out. Nothing was kept.",
};

/** What comes cannot be looked at; nothing was kept. */
export class IncomingError extends Error {
  /** @param {keyof typeof WORDS} code */
  constructor(code) {
    super(WORDS[code]);
    this.name = "IncomingError";
    this.code = code;
  }
}

/**
 * Entries by job, each id once, and how many rows are no entries.
 * @param {unknown[]} rows
 */
function byJob(rows) {
  /** @type {Map<string, Map<string, Entry>>} */
  const jobs = new Map();
  let bad = 0;
  for (const row of rows) {
    if (unfit(row)) {
      bad += 1;
      continue;
    }
    const entry = /** @type {Entry} */ (row);
    const job = jobs.get(entry.job) ?? new Map();
    jobs.set(entry.job, job);
    if (!job.has(entry.id)) job.set(entry.id, entry);
    if (job.size > PER_JOB) throw new IncomingError("full");
  }
  return { jobs, bad };
}

/**
 * What merging would do; `all` works out new jobs too, for a link, which carries one. Rejects with an IncomingError.
 * @param {unknown[]} rows
 * @param {{ all?: boolean }} [how]
 * @returns {Promise<Preview>}
 */
export async function preview(rows, { all = false } = {}) {
  const { jobs, bad } = byJob(rows);
  const told = { added: 0, known: 0, disputed: 0, unfit: bad };
  let fresh = 0;
  let more = 0;
  /** @type {{ job: string, here: Entry[], merged: Entry[] }[]} */
  const changed = [];
  for (const [job, came] of jobs) {
    const here = await entries(job);
    const mine = new Map(here.map((entry) => [entry.id, entry]));
    /** @type {Entry[]} */
    const added = [];
    for (const [id, entry] of came) {
      const known = mine.get(id);
      if (!known) added.push(entry);
      else told[same(known, entry) ? "known" : "disputed"] += 1;
    }
    told.added += added.length;
    if (here.length + added.length > PER_JOB) throw new IncomingError("full");
    if (!here.length) fresh += 1;
    if (!added.length || (!here.length && !all)) continue;
    if (changed.length < MOST_LOOKED) changed.push({ job, here, merged: [...here, ...added] });
    else more += 1;
  }
  return { told, fresh, more, looked: await worked(changed) };
}

/** @param {{ job: string, here: Entry[], merged: Entry[] }[]} changed @returns {Promise<OfJob[]>} */
async function worked(changed) {
  const asked = changed.flatMap(({ job, here, merged }) => [
    ...(here.length ? [{ job, entries: here }] : []),
    { job, entries: merged },
  ]);
  const found = await foldWithin(asked, MOST_MS);
  if (!found) throw new IncomingError("endless");
  return changed.map(({ job, here }) => ({
    job,
    was: here.length ? /** @type {Folded} */ (found.shift()) : null,
    is: /** @type {Folded} */ (found.shift()),
  }));
}
