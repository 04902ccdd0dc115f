/* The phone's database: opening it, its four futures, and the one way to run a transaction.

   "Saved" means the transaction is complete; an abort is a failure and is said (NotKept). Owns names of stores and
   indexes. Knows nothing of what entries mean, nor of the network.

   - entries: whole records as they travel, key id; only ever added, never put over but by erasing.js.
   - marks: what has become of each entry on its way to the shop; key id, n counts arrivals on this phone.
   - disputed: other contents that came under an id this phone has; both are kept.
   - meta: device, count, access, sync.
   - jobs: of each job how its card looks and whether its entries are here whole (shelf.js). */

import { openDB } from "../vendor/idb.mjs";
import { named } from "../work/this-device.js";

/** @import { Database, Name, Over, Transaction } from "../vendor/idb.mjs" */
/** @import { Meta } from "../types/log.d.ts" */

/** @typedef {{ code: "blocked" | "outdated", text: string }} Notice What stands in the way of the database. */
/** @typedef {keyof typeof WORDS} NotKeptCode */

const NAME = "bothends";
const VERSION = 2;
// What a lost connection looks like: closed by the system, lost on the way (iOS says UnknownError), aborted with it.
const DIED = new Set(["InvalidStateError", "UnknownError", "AbortError"]);

const WORDS = {
  full: "{Here} has no room left, so this is not kept. Free some storage, then save it again.",
  outdated: "A newer version of this app is open in another tab. Reload this page; what was saved is kept.",
  "no-storage": "This browser keeps nothing here (a private window, or storage is switched off). Use another window.",
  away: "This job is at the shop, not on {here}. It can be written to once the shop has been reached.",
  aborted: "This was not kept. Save it again; if it stays so, reload the page.",
};
const BLOCKED =
  "This app is open in another tab with an older version. Close the other tab; this one then goes on by itself.";

/**
 * A write that did not reach the disk; `code` is full, outdated, no-storage, away or aborted, the message for people.
 */
export class NotKept extends Error {
  /**
   * @param {NotKeptCode} code
   * @param {unknown}
   [cause] */
  constructor(code, cause) {
    super(named(WORDS[code]), { cause });
    this.name = "NotKept";
    this.code = code;
  }
}

/** @type {Promise<Database> | null} */
let opening = null;
/** Makes room where a reading finds none; says whether it could. @type {() => Promise<boolean>} */
let makeRoom = async () => false;
/** @type {Notice | null} */
let standing = null;
/** @type {Set<(notice: Notice | null) => void>} */
const watchers = new Set();
/** @type {Set<{abort(): void}>} */
const running = new Set();

// A page that the browser puts away to come back to stands still, and in WebKit its transactions with it: no page of
// this app could read or write any more. So they are given up, and run again when the page comes back.
globalThis.addEventListener?.("pagehide", ({ persisted }) => {
  if (!persisted) return;
  for (const tx of running) {
    try {
      tx.abort();
    } catch {
      // It has ended by itself, and its work is about to hear so.
    }
  }
});

/** @param {Notice | null} notice */
function say(notice) {
  standing = notice;
  for (const watcher of watchers) watcher(notice);
}

/**
 * Be told when a tab is in the way, and with null when it no longer is. Returns how to stop.
 * @param {(notice: Notice | null) => void} watcher
 */
export function watchBase(watcher) {
  watchers.add(watcher);
  watcher(standing);
  return () => watchers.delete(watcher);
}

/**
 * Say how room is made for what is written here.
 * @param {() => Promise<boolean>} how whether there is more than before
 */
export function roomBy(how) {
  makeRoom = how;
}

/**
 * A row for each job of a log that an older app kept: its card is made when it is first wanted.
 * @param {Over<Name>} tx
 */
async function rowsOfOld(tx) {
  const jobs = tx.objectStore("jobs");
  let cursor = await tx.objectStore("entries").index("job").openKeyCursor(null, "nextunique");
  for (; cursor; cursor = await cursor.continue())
    jobs.put({ job: cursor.key, shelf: "open", last: cursor.key, grown: 1, made: "", whole: true, card: null });
}

/**
 * @param {Database} db
 * @param {number} from
 * @param {Over<Name>} tx
 */
async function upgrade(db, from, tx) {
  if (from < 1) {
    db.createObjectStore("entries", { keyPath: "id" }).createIndex("job", "job");
    const marks = db.createObjectStore("marks", { keyPath: "id" });
    marks.createIndex("state", ["state", "n"]);
    marks.createIndex("job", ["job", "state"]);
    db.createObjectStore("disputed", { keyPath: "key" }).createIndex("id", "id");
    db.createObjectStore("meta");
  }
  if (from < 2) {
    const jobs = db.createObjectStore("jobs", { keyPath: "job" });
    jobs.createIndex("shelf", ["shelf", "last"]);
    // The others have few rows: what is to be made anew, fetched, settled, rechecked.
    for (const name of ["made", "wanted", "asks", "due"]) jobs.createIndex(name, name);
    if (from) await rowsOfOld(tx);
  }
}

/** The open database; opened when first asked for, and again after it was lost. */
function database() {
  // Where storage is switched off, the browser throws at once.
  opening ??= Promise.resolve()
    .then(() =>
      openDB(NAME, VERSION, {
        upgrade: (db, from, _, tx) => upgrade(db, from, tx),
        blocked: () => say({ code: "blocked", text: BLOCKED }),
        blocking: (_, wanted, { target }) => {
          target.close();
          opening = null;
          // Without a version somebody clears this origin's data: nothing newer is about.
          if (wanted !== null) say({ code: "outdated", text: WORDS.outdated });
        },
        terminated: () => {
          opening = null;
        },
      }),
    )
    .then(
      (db) => {
        if (standing?.code === "blocked") say(null);
        return db;
      },
      (error) => {
        opening = null;
        throw new NotKept(
          nameOf(error) === "VersionError"
            ? "outdated"
            : nameOf(error) === "QuotaExceededError"
              ? "full"
              : "no-storage",
          error,
        );
      },
    );
  return opening;
}

/**
 * What an error calls itself.
 * @param {any} error
 * @returns {string}
 */
const nameOf = (error) => error?.name ?? "";

/** Let go of a connection that no longer serves; whatever still runs on it may end first. */
function forget() {
  opening?.then(
    (db) => db.close(),
    () => {},
  );
  opening = null;
}

/**
 * Run the work in one transaction, once.
 * @template {Name} N
 * @template T
 * @param {N[]} stores
 * @param {"readonly" | "readwrite"} mode
 * @param {(tx: Transaction<N>) => T | Promise<T>} work
 * @returns {Promise<T>}
 */
async function once(stores, mode, work) {
  const db = await database();
  const tx = db.transaction(stores, mode, { durability: "strict" });
  tx.done.catch(() => {});
  running.add(tx);
  let out;
  try {
    out = await work(tx);
  } catch (error) {
    // Either the transaction failed, and knows why, or our own work did: then nothing of it may stay.
    const why = tx.error;
    if (!why)
      await Promise.resolve()
        .then(() => tx.abort())
        .catch(() => {});
    throw why ?? error;
  } finally {
    running.delete(tx);
  }
  await tx.done;
  return out;
}

/**
 * Run `work(tx)` in one transaction; resolves to what it returns once that is on the disk.
 * Where the connection was lost, or the page put away meanwhile, the work is tried once more, so `work` must bear
 * being run twice.
 * Rejects with NotKept when nothing was kept.
 * @template {Name} N
 * @template T
 * @param {N[]} stores
 * @param {"readonly" | "readwrite"} mode
 * @param {(tx: Transaction<N>) => T | Promise<T>} work
 * @returns {Promise<T>}
 */
export async function transact(stores, mode, work) {
  for (let again = false; ; again = true) {
    try {
      return await once(stores, mode, work);
    } catch (error) {
      if (!again && DIED.has(nameOf(error))) {
        forget();
        continue;
      }
      if (error instanceof NotKept || !(error instanceof DOMException)) throw error;
      if (error.name === "QuotaExceededError" && (await makeRoom().catch(() => false))) continue;
      throw new NotKept(error.name === "QuotaExceededError" ? "full" : "aborted", error);
    }
  }
}

/**
 * Read one value of `meta`.
 * @template {keyof Meta} K
 * @param {K} name
 */
export const recall = (name) => transact(["meta"], "readonly", (tx) => tx.store.get(name));

/**
 * Keep one value of `meta`.
 * @template {keyof Meta} K
 * @param {K} name
 * @param {Meta[K]} value
 */
export const remember = (name, value) => transact(["meta"], "readwrite", (tx) => tx.store.put(value, name));
