/* What has come to this device since somebody last looked at a job here: by the order of arrival on this device, since
   what arrives today may bear an older stamp. A note of this device alone; nothing of it is ever sent.

   A job that was never looked at here has no note, and nothing in it is marked: all of it is new alike. */

import { transact } from "./base.js";

/** @typedef {{ ids: Set<string>, upTo: number }} Arrived `upTo` what to note once these were looked at */

/**
 * Entries that arrived since each job was last looked at, whoever wrote them; jobs without a note are left out.
 * @returns {Promise<Map<string, Set<string>>>}
 */
export const arrivedByJob = () =>
  transact(["marks", "meta"], "readonly", async (tx) => {
    /** @type {Map<string, Set<string>>} */
    const found = new Map();
    const looked = (await tx.objectStore("meta").get("looked")) ?? {};
    for (const { id, job, n } of await tx.objectStore("marks").getAll()) {
      if (!(n > (looked[job] ?? Infinity))) continue;
      const ids = found.get(job) ?? new Set();
      found.set(job, ids.add(id));
    }
    return found;
  });

/**
 * The same of one job.
 * @param {string} job
 * @returns {Promise<Arrived>}
 */
export const arrivedIn = (job) =>
  transact(["marks", "meta"], "readonly", async (tx) => {
    const meta = tx.objectStore("meta");
    const [looked, upTo] = await Promise.all([meta.get("looked"), meta.get("count")]);
    const since = looked?.[job];
    if (since === undefined || since >= (upTo ?? 0)) return { ids: new Set(), upTo: upTo ?? 0 };
    const range = IDBKeyRange.bound([job], [job, []]);
    const marks = await tx.objectStore("marks").index("job").getAll(range);
    return { ids: new Set(marks.filter(({ n }) => n > since).map(({ id }) => id)), upTo: upTo ?? 0 };
  });

/**
 * Note that a job was looked at, with all that had arrived up to then.
 * @param {string} job
 * @param {number} upTo
 */
export const noteLooked = (job, upTo) =>
  transact(["meta"], "readwrite", async (tx) => {
    const looked = (await tx.store.get("looked")) ?? {};
    if ((looked[job] ?? -1) < upTo) await tx.store.put({ ...looked, [job]: upTo }, "looked");
  });
