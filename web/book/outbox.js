/* What has reached the shop and what has not: the marks beside the entries.

   A mark is waiting, shop or refused. Nothing is ever dropped: a refused entry stays on the phone with the reason and
   can be tried again. Owns the marks; the network is sync.js's business. */

import { transact } from "./base.js";
import { dispute } from "./log.js";
import { ofState } from "./shelf.js";
import { tell } from "./tabs.js";
import { named } from "../work/this-device.js";

/** @import { Store } from "../vendor/idb.mjs" */
/** @import { Answer, Counts, Entry, Mark, MarkState, Why } from "../types/log.d.ts" */

/** @type {MarkState[]} */
const STATES = ["waiting", "shop", "refused"];

/**
 * How many entries (of a job, or of all) stand where.
 * @param {string | null} [job]
 * @returns {Promise<Counts>}
 */
export const counts = (job = null) =>
  transact(["marks"], "readonly", async (tx) => {
    const found = await Promise.all(
      STATES.map((state) =>
        job === null
          ? tx.store.index("state").count(ofState(state))
          : tx.store.index("job").count(IDBKeyRange.only([job, state])),
      ),
    );
    const [waits, shop, refuses] = found;
    return { waiting: waits, shop, refused: refuses };
  });

/**
 * The sentence of an honest count, for a card or a status line.
 * @param {Counts} counts
 */
export function inWords({ waiting, shop, refused }) {
  const parts = [];
  if (waiting) parts.push(named(`${waiting} on {here} only`));
  if (shop) parts.push(`${shop} at the shop`);
  if (refused) parts.push(`${refused} refused by the shop, kept here`);
  return parts.join(", ") || "nothing entered yet";
}

/**
 * Entries that wait, oldest arrival first, at most `limit`.
 * @param {number} limit
 */
export const waiting = (limit) =>
  transact(["entries", "marks"], "readonly", async (tx) => {
    const marks = await tx.objectStore("marks").index("state").getAll(ofState("waiting"), limit);
    return Promise.all(marks.map(async ({ id }) => /** @type {Entry} */ (await tx.objectStore("entries").get(id))));
  });

/** The writer's stamp of the entry that has waited longest, or null: for a warning when it gets old. */
export const waitingSince = async () => (await waiting(1))[0]?.at ?? null;

/**
 * Refused entries (of a job, or all) and why; `others` are contents that the shop has under the id.
 * @param {string | null} [job]
 * @returns {Promise<{ entry: Entry, why: Why, others: Entry[] }[]>}
 */
export const refused = (job = null) =>
  transact(["entries", "marks", "disputed"], "readonly", async (tx) => {
    const marks = await tx.objectStore("marks").index("state").getAll(ofState("refused"));
    return Promise.all(
      marks
        .filter((mark) => job === null || mark.job === job)
        .map(async ({ id, why }) => ({
          entry: /** @type {Entry} */ (await tx.objectStore("entries").get(id)),
          why: /** @type {Why} */ (why),
          others: (await tx.objectStore("disputed").index("id").getAll(id)).map((row) => row.entry),
        })),
    );
  });

/**
 * Write down what the shop answered. Resolves to the ids now refused.
 * @param {Answer[]} rows
 */
export async function answered(rows) {
  /** @type {Set<string>} */
  const jobs = new Set();
  /** @type {Set<string>} */
  const changed = new Set();
  const words = rows.some(({ erased }) => erased) ? await import("./erasing.js") : null;
  await transact(["entries", "marks", "disputed", "meta"], "readwrite", async (tx) => {
    for (const { id, state, why, stored, erased } of rows) {
      const mark = await tx.objectStore("marks").get(id);
      if (!mark) continue;
      jobs.add(mark.job);
      if (erased && words) {
        await words.bareIn(tx, id, erased);
        changed.add(mark.job);
      }
      /** @type {Mark} */
      const kept = { id, job: mark.job, n: mark.n, state };
      // Settled, and sent again since: a person has said which contents hold, and other entries say so.
      if (stored && (await dispute(tx, stored, "shop"))) Object.assign(kept, { state: "shop", before: why });
      else if (why) kept.why = why;
      await tx.objectStore("marks").put(kept);
    }
  });
  await words?.letGo();
  if (jobs.size) tell({ what: "marks", jobs: [...jobs] });
  if (changed.size) tell({ what: "entries", jobs: [...changed], came: "shop" });
  return rows.filter((row) => row.state === "refused").map((row) => row.id);
}

/**
 * Let refused entries (these ids, or all) wait again.
 * @param {string[] | null} [ids]
 */
export async function tryAgain(ids = null) {
  const jobs = await transact(["marks"], "readwrite", async (tx) => {
    const marks = await tx.store.index("state").getAll(ofState("refused"));
    const chosen = marks.filter((mark) => ids === null || ids.includes(mark.id));
    for (const { id, job, n } of chosen) await tx.store.put({ id, job, n, state: "waiting" });
    return new Set(chosen.map((mark) => mark.job));
  });
  if (jobs.size) tell({ what: "marks", jobs: [...jobs] });
}

/**
 * Let every entry wait again, inside a transaction over marks: the shop's book is not the one it was.
 * @param {Store<"marks">} store
 */
export async function allAgain(store) {
  for (const state of /** @type {MarkState[]} */ (["shop", "refused"])) {
    for (const { id, job, n } of await store.index("state").getAll(ofState(state)))
      await store.put({ id, job, n, state: "waiting" });
  }
}
