/* The logbook on this phone: entries of all jobs, added and never changed, but for the words of a customer who is
   erased (erasing.js, fetched when there is something to merge or to erase).

   Owns appending, merging by id, handing out. "Saved" is when the promise resolves. A wrong entry is struck or
   corrected by another. Does not know what the kinds mean (fold.js asks the sheet's own files), nor the network. */

import { NotKept, recall, transact } from "./base.js";
import { deviceIn } from "./device.js";
import { headsOf, isCard } from "./heads.js";
import { LAST_ID, newId, stamp } from "./ids.js";
import { canonical, crc32, same, unfit } from "./same.js";
import { forgetCard, grew } from "./shelf.js";
import { schemaOf } from "./schema.js";
import { listen, tell } from "./tabs.js";

/** @import { Name, Over } from "../vendor/idb.mjs" */
/** @import { Came, Entry, Item, Mark, Merged, Settlement } from "../types/log.d.ts" */

/** @type {Name[]} */
const ALL = ["entries", "marks", "disputed", "meta", "jobs"];

const ERASE = "erase";
const erasing = () => import("./erasing.js");
/** @typedef {Awaited<ReturnType<typeof erasing>>} Whole */
/** @typedef {"bareAs" | "eraseIn" | "letGo" | "notePhotos" | "standing" | "standsFor" | "underIn"} Needed */
/** @typedef {Pick<Whole, Needed>} Erasing */

/** What leaves words as they are, where no erasure is known: it needs nothing that may not be here yet.
 * @type {Erasing} */
const PLAIN = {
  bareAs: (entry) => entry,
  eraseIn: async () => 0,
  letGo: async () => {},
  notePhotos: async () => {},
  standing: (entry) => entry,
  standsFor: same,
  underIn: async () => () => ({}),
};

/**
 * What takes words out, where entries, items or this log ask for that.
 * @param {Entry[]} rows
 * @param {Item[]} [items]
 */
async function wordsFor(rows, items = []) {
  const asked = rows.some(({ kind, erased }) => kind === ERASE || erased) || items.some(([kind]) => kind === ERASE);
  return asked || Object.keys((await recall("erasures")) ?? {}).length ? erasing() : PLAIN;
}

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
 *   writer: string | undefined, erasure: string | undefined }} known
 * @returns {Entry[]}
 */
function entriesOf(job, items, { after, device, heads, writer, erasure }) {
  let last = after;
  let heard = erasure;
  return items.map(([kind, body], i) => {
    const id = newId({ after: last });
    last = id;
    if (kind === ERASE) heard = id;
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
      ...(heard === undefined || kind === ERASE ? {} : { erasure: heard }),
      body,
    };
  });
}

/**
 * Add entries to a job inside a transaction over all stores; resolves to them.
 * @param {Over<Name>} tx
 * @param {string} job
 * @param {Item[]} items
 * @param {Erasing} words
 * @returns {Promise<Entry[]>}
 */
async function appendIn(tx, job, items, words) {
  // What is not here whole is fetched first: whoever writes has seen the job.
  if ((await tx.objectStore("jobs").get(job))?.whole === false) throw new NotKept("away");
  const [after, heads, device, n, writer, erasures, unnamed] = await Promise.all([
    greatestId(tx),
    headsFor(tx, job, items),
    deviceIn(tx, items.length),
    arrivals(tx, items.length),
    tx.objectStore("meta").get("writer"),
    tx.objectStore("meta").get("erasures"),
    tx.objectStore("meta").get("unnamed"),
  ]);
  const [heard] = [erasures?.[job] ?? "", unnamed?.[job] ?? ""].sort().reverse();
  const made = entriesOf(job, items, { after, device, heads, writer, erasure: heard || undefined });
  for (const entry of made) if (entry.kind === ERASE) entry.body = { entries: await words.eraseIn(tx, entry) };
  // In an aborted transaction the next request throws at once: no promise may be left unheard by then.
  await Promise.all(
    made.map(async (entry, i) => {
      await tx.objectStore("entries").add(entry);
      await tx.objectStore("marks").add({ id: entry.id, job, n: n + i, state: "waiting" });
    }),
  );
  await grew(tx, made, { came: "here" });
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
  const words = await wordsFor([], items);
  /** @type {Entry[]} */
  let made = [];
  try {
    await transact(ALL, "readwrite", async (tx) => {
      const entries = tx.objectStore("entries");
      // A second try after a lost connection: the first may have been kept after all.
      if (made.length && (await entries.get(made[0].id))) return;
      made = await appendIn(tx, job, items, words);
    });
  } catch (error) {
    throw error instanceof Error ? Object.assign(error, { items }) : error;
  }
  await words.letGo();
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
  const words = await wordsFor(fit);
  await transact(ALL, "readwrite", async (tx) => {
    found = new Map();
    for (const entry of fit) {
      const mine = await tx.objectStore("entries").get(entry.id);
      if (!mine || words.standsFor(mine, entry)) continue;
      await dispute(tx, words.bareAs(entry, mine.erased), "device");
      found.set(entry.id, mine.job);
    }
    await also(tx);
  });
  if (found.size) tell({ what: "entries", jobs: [...new Set(found.values())], came: "shop" });
  return [...found.keys()];
}

/**
 * An entry is here and comes again: from the shop it is at the shop, and stands as it does there, words gone or not.
 * Resolves to the entry as it stands then.
 * @param {Over<Name>} tx
 * @param {{ mine: Entry, entry: Entry, came: Came }} both
 * @param {Erasing} words
 */
async function known(tx, { mine, entry, came }, words) {
  if (came !== "shop") return mine;
  let left = mine;
  if (entry.erased && mine.erased !== true && mine.erased !== entry.erased) {
    await tx.objectStore("entries").put(entry);
    left = entry;
    if (entry.erased === true) await words.notePhotos(tx, [mine]);
    await forgetCard(tx, entry.job);
  }
  const marks = tx.objectStore("marks");
  const mark = await marks.get(entry.id);
  if (mark && mark.state !== "shop") await marks.put({ id: mark.id, job: mark.job, n: mark.n, state: "shop" });
  return left;
}

/**
 * Go by an erasure that came; or note that a job came without its words, so that they are not asked about again.
 * Resolves to the last erasures of every job by then, null where nothing is new.
 * @param {Over<Name>} tx
 * @param {Entry} entry
 * @param {{ words: Erasing, noted: Set<string> }} how `noted` are jobs that have lost words as far as this knows
 */
async function goneBy(tx, entry, { words, noted }) {
  if (entry.kind === ERASE) await words.eraseIn(tx, entry);
  else if (!entry.erased || noted.has(entry.job)) return null;
  noted.add(entry.job);
  const meta = tx.objectStore("meta");
  const all = { ...(await meta.get("erasures")) };
  if (all[entry.job] === undefined) await meta.put({ ...all, [entry.job]: "" }, "erasures");
  return words.underIn(tx);
}

/**
 * What is here under the ids of these, inside a transaction.
 * @param {import("../vendor/idb.mjs").Store<"entries">} entries
 * @param {Entry[]} taken
 */
async function keptUnder(entries, taken) {
  const found = await Promise.all(taken.map(({ id }) => entries.get(id)));
  return new Map(found.flatMap((one) => (one ? [[one.id, one]] : [])));
}

/** A write whose failure is told where all of them are awaited. @template T @param {Promise<T>} write */
function toldLater(write) {
  write.catch(() => {});
  return write;
}

/**
 * Take in entries by id: the same again changes nothing, another content under a known id is kept beside ours.
 * `came` says from where: "shop", "link" or "file"; `then` is written by this device after them, by job, and `also(tx)`
 * runs, in the same transaction: what is refused of it never counts here, whatever happens meanwhile.
 * What is no entry is not kept and told by its place. An erasure counts from the shop alone: one that comes in a link
 * or a file is not kept, and whoever agrees to it writes one in `then`.
 * @param {unknown[]} rows
 * @param {{ came: Came, also?: (tx: Over<Name>) => unknown, then?: Map<string, Item[]>,
 *   only?: (tx: Over<Name>, entries: Entry[]) => Promise<Entry[]> }} how `only` says which are kept, in the transaction
 * @returns {Promise<Merged>}
 */
export async function merge(rows, { came, also, only, then = new Map() }) {
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
    else if (came === "shop" || /** @type {Entry} */ (row).kind !== ERASE) fit.push(/** @type {Entry} */ (row));
  });
  const words = await wordsFor(fit, [...then.values()].flat());
  let late = false;
  await transact(ALL, "readwrite", async (tx) => {
    told = { added: [], known: [], disputed: [], unfit: bad };
    /** @type {Entry[]} */
    const added = [];
    const entries = tx.objectStore("entries");
    const marks = tx.objectStore("marks");
    const taken = only ? await only(tx, fit) : fit;
    let n = await arrivals(tx, taken.length);
    const noted = new Set(Object.keys((await tx.objectStore("meta").get("erasures")) ?? {}));
    late = words === PLAIN && noted.size > 0;
    if (late) return;
    let under = await words.underIn(tx);
    let here = await keptUnder(entries, taken);
    // Not one after the other: each would wait for the one before it, which is most of what a first sync takes.
    /** @type {Promise<unknown>[]} */
    const writes = [];
    for (const row of taken) {
      const entry = words.standing(row, under(row.job));
      const mine = here.get(entry.id);
      if (!mine) {
        const mark = { id: entry.id, job: entry.job, n, state: came === "shop" ? "shop" : "waiting" };
        writes.push(...[entries.add(entry), marks.add(/** @type {Mark} */ (mark))].map(toldLater));
        here.set(entry.id, entry);
        n += 1;
        told.added.push(entry.id);
        added.push(entry);
        jobsChanged.add(entry.job);
        const gone = await goneBy(tx, entry, { words, noted });
        // Its words are gone from others too.
        if (gone) [under, here] = [gone, await keptUnder(entries, taken)];
      } else if (words.standsFor(mine, entry)) {
        told.known.push(entry.id);
        here.set(entry.id, await known(tx, { mine, entry, came }, words));
      } else {
        await dispute(tx, words.bareAs(entry, mine.erased), came);
        told.disputed.push(entry.id);
        jobsChanged.add(mine.job);
      }
    }
    await Promise.all(writes);
    await grew(tx, added, { came });
    for (const [job, items] of then) {
      if (!items.length) continue;
      await appendIn(tx, job, items, words);
      jobsChanged.add(job);
    }
    await also?.(tx);
  });
  // Another page heard of an erasure as this one began.
  if (late) return merge(rows, { came, also, then, only });
  await words.letGo();
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
