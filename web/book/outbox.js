/* What has reached the shop and what has not: the marks beside the entries.

   A mark is waiting, shop or refused. Nothing is ever dropped: a refused entry stays on the phone with the reason and
   can be tried again. Owns the marks; the network is sync.js's business. */

import { transact } from "./base.js";
import { dispute } from "./log.js";
import { tell } from "./tabs.js";

const STATES = ["waiting", "shop", "refused"];
const between = (state) => IDBKeyRange.bound([state, -Infinity], [state, Infinity]);

/** {waiting, shop, refused}: how many entries (of a job, or of all) stand where. */
export const counts = (job = null) =>
  transact(["marks"], "readonly", async (tx) => {
    const found = await Promise.all(
      STATES.map((state) =>
        job === null
          ? tx.store.index("state").count(between(state))
          : tx.store.index("job").count(IDBKeyRange.only([job, state])),
      ),
    );
    return Object.fromEntries(STATES.map((state, i) => [state, found[i]]));
  });

/** The sentence of an honest count, for a card or a status line. */
export function inWords({ waiting, shop, refused }) {
  const parts = [];
  if (waiting) parts.push(`${waiting} on this phone only`);
  if (shop) parts.push(`${shop} at the shop`);
  if (refused) parts.push(`${refused} refused by the shop, kept here`);
  return parts.join(", ") || "nothing entered yet";
}

/** Entries that wait, oldest arrival first, at most `limit`. */
export const waiting = (limit) =>
  transact(["entries", "marks"], "readonly", async (tx) => {
    const marks = await tx.objectStore("marks").index("state").getAll(between("waiting"), limit);
    return Promise.all(marks.map(({ id }) => tx.objectStore("entries").get(id)));
  });

/** The writer's stamp of the entry that has waited longest, or null: for a warning when it gets old. */
export const waitingSince = async () => (await waiting(1))[0]?.at ?? null;

/** Refused entries (of a job, or all): [{entry, why: {code, path, detail}, others}]; others are contents the shop has under the id. */
export const refused = (job = null) =>
  transact(["entries", "marks", "disputed"], "readonly", async (tx) => {
    const marks = await tx.objectStore("marks").index("state").getAll(between("refused"));
    return Promise.all(
      marks
        .filter((mark) => job === null || mark.job === job)
        .map(async ({ id, why }) => ({
          entry: await tx.objectStore("entries").get(id),
          why,
          others: (await tx.objectStore("disputed").index("id").getAll(id)).map((row) => row.entry),
        })),
    );
  });

/**
 * Write down what the shop answered: rows of {id, state: "shop" | "refused", why?, stored?}.
 * Resolves to the ids now refused.
 */
export async function answered(rows) {
  const jobs = new Set();
  await transact(["marks", "disputed"], "readwrite", async (tx) => {
    for (const { id, state, why, stored } of rows) {
      const mark = await tx.objectStore("marks").get(id);
      if (!mark) continue;
      jobs.add(mark.job);
      const kept = { id, job: mark.job, n: mark.n, state };
      // Settled, and sent again since: a person has said which contents hold, and other entries say so.
      if (stored && (await dispute(tx, stored, "shop"))) Object.assign(kept, { state: "shop", before: why });
      else if (why) kept.why = why;
      await tx.objectStore("marks").put(kept);
    }
  });
  if (jobs.size) tell({ what: "marks", jobs: [...jobs] });
  return rows.filter((row) => row.state === "refused").map((row) => row.id);
}

/** Let refused entries (these ids, or all) wait again. */
export async function tryAgain(ids = null) {
  const jobs = await transact(["marks"], "readwrite", async (tx) => {
    const marks = await tx.store.index("state").getAll(between("refused"));
    const chosen = marks.filter((mark) => ids === null || ids.includes(mark.id));
    for (const { id, job, n } of chosen) await tx.store.put({ id, job, n, state: "waiting" });
    return new Set(chosen.map((mark) => mark.job));
  });
  if (jobs.size) tell({ what: "marks", jobs: [...jobs] });
}

/** Let every entry wait again, inside a transaction over marks: the shop's book is not the one it was. */
export async function allAgain(store) {
  for (const state of ["shop", "refused"]) {
    for (const { id, job, n } of await store.index("state").getAll(between(state)))
      await store.put({ id, job, n, state: "waiting" });
  }
}

/** The same for every job in one go: Map of job to {waiting, shop, refused}. */
export const countsByJob = () =>
  transact(["marks"], "readonly", async (tx) => {
    const found = new Map();
    for (const { job, state } of await tx.store.getAll()) {
      if (!found.has(job)) found.set(job, { waiting: 0, shop: 0, refused: 0 });
      found.get(job)[state] += 1;
    }
    return found;
  });
