/* What entries that come in a link or a file would do, worked out before any of them is kept: how many are new, and
   for a job that is here already what it is, what it would be, and in which parts it can be taken. A stranger may
   have made them, so that sizes are bounded before anything is folded, and folding has an end. Keeps nothing;
   log.merge does that when somebody agrees. */

import { PER_JOB } from "../model/facts.js";
import { recall } from "./base.js";
import { foldWithin } from "./fold.js";
import { newId, stamp } from "./ids.js";
import { entries } from "./log.js";
import { ERASE, standing, standsFor } from "./erased.js";
import { unfit } from "./same.js";
import { changesOf } from "../work/incoming.js";
import { offeredOf, partsOf, refusedOf } from "../work/incoming-parts.js";

/** @import { Entry, Item } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */
/** @import { Change } from "../work/incoming.js" */
/** @import { Offered } from "../work/incoming-parts.js" */

/**
 * @typedef {object} OfJob
 * @property {string} job
 * @property {Entry[]} here its records on this device
 * @property {Entry[]} fresh those that come and are not here
 * @property {Folded | null} was the job as it is; null where it is not here
 * @property {Folded} is as it would be with all that comes, what was refused before included
 * @property {Offered[]} parts what can be taken or refused by itself; none where the job is not here
 * @property {Change[]} rest what would change besides
 */
/**
 * @typedef {object} Preview
 * @property {{ added: number, known: number, disputed: number, unfit: number }} told how many entries
 * @property {number} fresh jobs that are not here yet
 * @property {OfJob[]} looked jobs that would change, or of which something was refused, and were worked out
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
 * Those of a job's records that come and are not here; the others are counted in `told`. An erasure is nothing to keep,
 * only to agree to, and of a job that is not here there is nothing to erase.
 * @param {Entry[]} here
 * @param {Map<string, Entry>} came
 * @param {string | undefined} erasure the last that this device goes by
 * @param {Preview["told"]} told
 */
function freshOf(here, came, erasure, told) {
  const mine = new Map(here.map((entry) => [entry.id, entry]));
  /** @type {Entry[]} */
  const added = [];
  for (const [id, entry] of came) {
    const known = mine.get(id);
    if (known) told[standsFor(known, entry) ? "known" : "disputed"] += 1;
    else if (here.length || entry.kind !== ERASE) added.push(standing(entry, erasure));
  }
  return added;
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
  /** @type {Found[]} */
  const changed = [];
  for (const [job, came] of jobs) {
    const here = await entries(job);
    const added = freshOf(here, came, (await recall("erasures"))?.[job], told);
    told.added += added.length;
    if (here.length + added.length > PER_JOB) throw new IncomingError("full");
    if (!here.length) fresh += 1;
    const refused = here.some(({ kind, body }) => kind === "strike" && body.refused && came.has(body.entry));
    if ((!added.length && !refused) || (!here.length && !all)) continue;
    if (changed.length < MOST_LOOKED) changed.push({ job, here, fresh: added, came: new Set(came.keys()) });
    else more += 1;
  }
  const looked = [];
  for (const found of changed) looked.push(await worked(found));
  return { told, fresh, more, looked: looked.filter(({ fresh: some, parts }) => some.length || parts.length) };
}

/** @typedef {{ job: string, here: Entry[], fresh: Entry[], came: Set<string> }} Found */

/**
 * Fold lists of entries of a job, or give up.
 * @param {string} job
 * @param {Entry[][]} lists
 */
async function folded(job, lists) {
  const found = await foldWithin(
    lists.map((list) => ({ job, entries: list })),
    MOST_MS,
  );
  if (!found) throw new IncomingError("endless");
  return found;
}

/**
 * Entries as this device would write them after others.
 * @param {string} job
 * @param {Entry[]} after
 * @param {Item[]} items
 * @returns {Entry[]}
 */
function asWritten(job, after, items) {
  let last = after.reduce((greatest, { id }) => (id > greatest ? id : greatest), "") || null;
  return items.map(([kind, body]) => {
    last = newId({ after: last });
    return { id: last, job, device: "this", at: stamp(), kind, body };
  });
}

/** @param {Found} found @returns {Promise<OfJob>} */
async function worked({ job, here, fresh, came }) {
  if (!here.length) {
    const [is] = await folded(job, [fresh]);
    return { job, here, fresh, was: null, is, parts: [], rest: [] };
  }
  const [was] = await folded(job, [here]);
  const refused = refusedOf(here, was.sheet, came);
  const cut = partsOf(here, fresh, refused, was.sheet);
  const back = refused.flatMap(({ by }) => by.map(({ id }) => /** @type {Item} */ (["strike", { entry: id }])));
  const all = [...here, ...fresh];
  const [is] = await folded(job, [[...all, ...asWritten(job, all, back)]]);
  const changes = changesOf(was.sheet, is.sheet);
  const parts = offeredOf(cut, changes, here);
  const told = new Set(parts.flatMap((part) => part.changes));
  return { job, here, fresh, was, is, parts, rest: changes.filter((change) => !told.has(change)) };
}

/**
 * The job as it would be with these items written after what comes. Rejects with an IncomingError.
 * @param {Pick<OfJob, "job" | "here" | "fresh">} of
 * @param {Item[]} items
 * @returns {Promise<Folded>}
 */
export async function tried({ job, here, fresh }, items) {
  const all = [...here, ...fresh];
  return (await folded(job, [[...all, ...asWritten(job, all, items)]]))[0];
}
