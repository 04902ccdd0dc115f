/* The logbook on this phone: entries of all jobs, added and never changed.

   Owns appending, merging by id, handing out. "Saved" is when the promise resolves. A wrong entry is struck or
   corrected by another. Does not know what the kinds mean (fold.js asks the sheet's own files), nor the network. */

import { transact } from "./base.js";
import { deviceIn } from "./device.js";
import { headsOf, isCard } from "./heads.js";
import { LAST_ID, newId, stamp } from "./ids.js";
import { canonical, crc32, same, unfit } from "./same.js";
import { schemaOf } from "./schema.js";
import { listen, tell } from "./tabs.js";

/** @import { Name, Over } from "../vendor/idb.mjs" */
/** @import { Came, Entry, Item, Merged, Settlement } from "../types/log.d.ts" */

/** @type {Name[]} */
const ALL = ["entries", "marks", "disputed", "meta"];

/**
 * The next arrival numbers on this phone, `how` many of them; returns the first.
 * @param {Over<"meta">} tx
 * @param {number} how
 */
async function arrivals(tx, how) {
  const meta = tx.objectStore("meta");
  const count = (await meta.get("count")) ?? 0;
  await meta.put(count + how, "count");
  return count + 1;
}

/**
 * The greatest id in the whole log: every entry of this writer comes after all that it has seen, whichever page wrote
 * it and wherever it came from. One from beyond the bound, kept by an older app, would be the last of all.
 * @param {Over<"entries">} tx
 */
async function greatestId(tx) {
  const cursor = await tx.objectStore("entries").openKeyCursor(IDBKeyRange.upperBound(LAST_ID), "prev");
  return cursor?.primaryKey ?? null;
}

/**
 * For each card that the items add to, what this writer has of it.
 * @param {Over<"entries">} tx
 * @param {string} job
 * @param {Item[]} items
 */
async function headsFor(tx, job, items) {
  const kinds = new Set(items.map(([kind]) => kind).filter(isCard));
  const all = kinds.size ? await tx.objectStore("entries").index("job").getAll(job) : [];
  return new Map([...kinds].map((kind) => [kind, headsOf(all, kind)]));
}

/**
 * The entries of some items, each after the one before it.
 * @param {string} job
 * @param {Item[]} items
 * @param {{ after: string | null, device: { id: string, seq: number }, heads: Map<string, string[]>,
 *   writer: string | undefined }} known
 * @returns {Entry[]}
 */
function entriesOf(job, items, { after, device, heads, writer }) {
  let last = after;
  return items.map(([kind, body], i) => {
    const id = newId({ after: last });
    last = id;
    const saw = heads.get(kind);
    if (saw) heads.set(kind, [id]);
    return {
      schema: schemaOf(kind, body),
      id,
      job,
      device: device.id,
      device_seq: device.seq + i,
      at: stamp(),
      kind,
      ...(saw ? { saw } : {}),
      ...(writer === undefined ? {} : { writer }),
      body,
    };
  });
}

/**
 * Add entries to a job inside a transaction over all stores; resolves to them.
 * @param {Over<Name>} tx
 * @param {string} job
 * @param {Item[]} items
 * @returns {Promise<Entry[]>}
 */
async function appendIn(tx, job, items) {
  const [after, heads, device, n, writer] = await Promise.all([
    greatestId(tx),
    headsFor(tx, job, items),
    deviceIn(tx, items.length),
    arrivals(tx, items.length),
    tx.objectStore("meta").get("writer"),
  ]);
  const made = entriesOf(job, items, { after, device, heads, writer });
  // In an aborted transaction the next request throws at once: no promise may be left unheard by then.
  await Promise.all(
    made.map(async (entry, i) => {
      await tx.objectStore("entries").add(entry);
      await tx.objectStore("marks").add({ id: entry.id, job, n: n + i, state: "waiting" });
    }),
  );
  return made;
}

/**
 * Add entries to a job; `items` is a list of [kind, body]. All of them are kept, or none.
 * Resolves to the new entries once they are on the disk; rejects with NotKept, which carries `items`.
 * @param {string} job
 * @param {Item[]} items
 * @returns {Promise<Entry[]>}
 */
export async function append(job, items) {
  /** @type {Entry[]} */
  let made = [];
  try {
    await transact(ALL, "readwrite", async (tx) => {
      const entries = tx.objectStore("entries");
      // A second try after a lost connection: the first may have been kept after all.
      if (made.length && (await entries.get(made[0].id))) return;
      made = await appendIn(tx, job, items);
    });
  } catch (error) {
    throw error instanceof Error ? Object.assign(error, { items }) : error;
  }
  tell({ what: "entries", jobs: [job], came: "here" });
  return made;
}

/**
 * A new job's card says that its name and owner alone make it no visit of another car: a person is asked instead. Jobs
 * of older apps, which do not say so, were joined by them (book/sheet/identity.py).
 * @param {Item} item
 * @returns {Item}
 */
const askedByName = ([kind, body]) => (kind === "job" ? [kind, { by_name: false, ...body }] : [kind, body]);

/**
 * Begin a new job with its first entries; resolves to {job, entries}.
 * @param {Item[]} items
 */
export async function begin(items) {
  const job = newId();
  return { job, entries: await append(job, items.map(askedByName)) };
}

/**
 * A job's entries, in order of their ids.
 * @param {string} job
 */
export const entries = (job) => transact(["entries"], "readonly", (tx) => tx.store.index("job").getAll(job));

/** All entries on this phone. */
export const everything = () => transact(["entries"], "readonly", (tx) => tx.store.getAll());

/** Ids of the jobs on this phone, the one begun last first. */
export async function jobs() {
  return transact(["entries"], "readonly", async (tx) => {
    /** @type {string[]} */
    const found = [];
    let cursor = await tx.store.index("job").openKeyCursor(null, "prevunique");
    for (; cursor; cursor = await cursor.continue()) found.push(cursor.key);
    return found;
  });
}

/**
 * The word of another device on which contents hold: the first entry that corrects or strikes this one and stands.
 * @param {Entry} mine
 * @param {Entry[]} all entries of its job
 * @returns {Settlement | undefined}
 */
function settledBy({ id }, all) {
  const struck = new Set(all.filter(({ kind }) => kind === "strike").map(({ body }) => body.entry));
  const over = all.find(
    (entry) =>
      !struck.has(entry.id) && (entry.body.corrects === id || (entry.kind === "strike" && entry.body.entry === id)),
  );
  return over && { at: over.at, wrote: [] };
}

/**
 * Other contents that came under ids this phone has (of a job, or all), each with `mine`, what it has. Where another
 * device is in dispute with the shop, that ends with an entry of whoever settled it.
 * @param {string | null} [job]
 */
export async function disputed(job = null) {
  const rows = await transact(["disputed", "entries"], "readonly", async (tx) => {
    const entries = tx.objectStore("entries");
    const all = await tx.objectStore("disputed").getAll();
    return Promise.all(
      all.map(async (row) => {
        const mine = await entries.get(row.id);
        if (!mine || row.settled || row.came !== "device") return { ...row, mine };
        const settled = settledBy(mine, await entries.index("job").getAll(mine.job));
        return settled ? { ...row, mine, settled } : { ...row, mine };
      }),
    );
  });
  return rows.filter((row) => job === null || row.mine?.job === job || row.entry.job === job);
}

/**
 * Keep another content of an entry beside ours, once; inside a transaction over disputed. Resolves to whether somebody
 * has settled that.
 * @param {Over<"disputed">} tx
 * @param {Entry} entry
 * @param {Came} came
 */
export async function dispute(tx, entry, came) {
  const key = `${entry.id} ${crc32(new TextEncoder().encode(canonical(entry)))}`;
  const store = tx.objectStore("disputed");
  const kept = await store.get(key);
  if (!kept) await store.add({ key, id: entry.id, entry, came, at: stamp() });
  return Boolean(kept?.settled);
}

/**
 * Keep what other devices have under ids that this phone has with other contents; `also(tx)` runs in the same
 * transaction. Resolves to the ids in dispute.
 * @param {unknown[]} rows
 * @param {{ also: (tx: Over<Name>) => unknown }} how
 */
export async function apart(rows, { also }) {
  /** @type {Map<string, string>} */
  let found = new Map();
  const fit = /** @type {Entry[]} */ (rows.filter((row) => !unfit(row)));
  await transact(ALL, "readwrite", async (tx) => {
    found = new Map();
    for (const entry of fit) {
      const mine = await tx.objectStore("entries").get(entry.id);
      if (!mine || same(mine, entry)) continue;
      await dispute(tx, entry, "device");
      found.set(entry.id, mine.job);
    }
    await also(tx);
  });
  if (found.size) tell({ what: "entries", jobs: [...new Set(found.values())], came: "shop" });
  return [...found.keys()];
}

/**
 * Take in entries by id: the same again changes nothing, another content under a known id is kept beside ours.
 * `came` says from where: "shop", "link" or "file"; `then` is written by this device after them, by job, and `also(tx)`
 * runs, in the same transaction: what is refused of it never counts here, whatever happens meanwhile.
 * What is no entry is not kept and told by its place.
 * @param {unknown[]} rows
 * @param {{ came: Came, also?: (tx: Over<Name>) => unknown, then?: Map<string, Item[]> }} how
 * @returns {Promise<Merged>}
 */
export async function merge(rows, { came, also, then = new Map() }) {
  /** @type {Merged} */
  let told = { added: [], known: [], disputed: [], unfit: [] };
  /** @type {Set<string>} */
  const jobsChanged = new Set();
  /** @type {Entry[]} */
  const fit = [];
  /** @type {Merged["unfit"]} */
  const bad = [];
  rows.forEach((row, index) => {
    const why = unfit(row);
    if (why) bad.push({ index, why });
    else fit.push(/** @type {Entry} */ (row));
  });
  await transact(ALL, "readwrite", async (tx) => {
    told = { added: [], known: [], disputed: [], unfit: bad };
    const entries = tx.objectStore("entries");
    const marks = tx.objectStore("marks");
    let n = await arrivals(tx, fit.length);
    for (const entry of fit) {
      const mine = await entries.get(entry.id);
      if (!mine) {
        await entries.add(entry);
        await marks.add({ id: entry.id, job: entry.job, n, state: came === "shop" ? "shop" : "waiting" });
        n += 1;
        told.added.push(entry.id);
        jobsChanged.add(entry.job);
      } else if (same(mine, entry)) {
        told.known.push(entry.id);
        const mark = await marks.get(entry.id);
        if (came === "shop" && mark && mark.state !== "shop")
          await marks.put({ id: mark.id, job: mark.job, n: mark.n, state: "shop" });
      } else {
        await dispute(tx, entry, came);
        told.disputed.push(entry.id);
        jobsChanged.add(mine.job);
      }
    }
    for (const [job, items] of then) {
      if (!items.length) continue;
      await appendIn(tx, job, items);
      jobsChanged.add(job);
    }
    await also?.(tx);
  });
  if (jobsChanged.size) tell({ what: "entries", jobs: [...jobsChanged], came });
  return told;
}

/**
 * Be told of every job that changed, on whichever page: listener(ids). Returns how to stop.
 * @param {(jobs: string[]) => void} listener
 */
export const watch = (listener) =>
  listen((message) => {
    if (message.what === "entries") listener(message.jobs);
  });
