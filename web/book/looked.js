/* What has come to this device since somebody last looked at a job here: by the order of arrival on this device, since
   what arrives today may bear an older stamp. A note of this device alone; nothing of it is ever sent.

   A job that was never looked at here has no note, and nothing in it is marked: all of it is new alike. */

import { transact } from "./base.js";

/** @typedef {{ ids: Set<string>, upTo: number }} Arrived `upTo` what to note once these were looked at */

/** Marks of one job, whatever their state. @param {string} job */
const ofJob = (job) => IDBKeyRange.bound([job], [job, []]);

/**
 * Entries that arrived since each of these jobs (null: any) was last looked at, whoever wrote them; jobs without a
 * note, or without anything new, are left out.
 * @param {string[] | null} [jobs]
 * @returns {Promise<Map<string, Set<string>>>}
 */
export const arrivedByJob = (jobs = null) =>
  transact(["marks", "meta"], "readonly", async (tx) => {
    /** @type {Map<string, Set<string>>} */
    const found = new Map();
    const meta = tx.objectStore("meta");
    const [looked = {}, upTo = 0] = await Promise.all([meta.get("looked"), meta.get("count")]);
    const asked = (jobs ?? Object.keys(looked)).filter((job) => looked[job] < upTo);
    await Promise.all(
      asked.map(async (job) => {
        const marks = await tx.objectStore("marks").index("job").getAll(ofJob(job));
        const ids = marks.filter(({ n }) => n > looked[job]).map(({ id }) => id);
        if (ids.length) found.set(job, new Set(ids));
      }),
    );
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
    const marks = await tx.objectStore("marks").index("job").getAll(ofJob(job));
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
