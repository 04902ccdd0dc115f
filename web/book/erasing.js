/* A customer is erased on this phone: the words go from every entry of the job, in the transaction that takes the
   erasure in, and from what comes later. The one place that puts entries over. Which words those are is erased.js's
   business; whether an erasure counts here is the log's. */

import { recall, transact } from "./base.js";
import { dropAll } from "./drafts.js";
import { bareAs, CAR, standing, standsFor } from "./erased.js";
import { dropStart } from "./last-start.js";
import { forgetCard } from "./shelf.js";

/** @import { Name, Over } from "../vendor/idb.mjs" */
/** @import { Disputed, Entry } from "../types/log.d.ts" */
/** @import { Under } from "./erased.js" */

export { bareAs, ERASE, standing, standsFor } from "./erased.js";

/**
 * Let go of what an erasure takes beside the log: bytes of photos that no record names any more, and what is typed
 * half. After the transaction that erased, which noted it: what a page leaves undone another one does.
 */
export const letGo = () => goneBeside().catch(() => {});

async function goneBeside() {
  const gone = await recall("gone");
  if (!gone) return;
  for (const job of gone.jobs) dropAll(job);
  // Once more: another page may have put it by meanwhile, of cards that it had read before.
  if (gone.jobs.length) dropStart();
  if (gone.photos.length) {
    const all = await transact(["entries"], "readonly", (tx) => tx.store.getAll());
    const named = new Set(all.filter(({ kind }) => kind === "photo").map(({ body }) => body.sha256));
    const { drop } = await import("./photos.js");
    for (const name of gone.photos) if (!named.has(name)) await drop(name);
  }
  await transact(["meta"], "readwrite", async ({ store }) => {
    const now = await store.get("gone");
    const left = {
      jobs: (now?.jobs ?? []).filter((job) => !gone.jobs.includes(job)),
      photos: (now?.photos ?? []).filter((name) => !gone.photos.includes(name)),
    };
    await (left.jobs.length || left.photos.length ? store.put(left, "gone") : store.delete("gone"));
  });
}

/**
 * The last erasures of any job, inside a transaction.
 * @param {Over<"meta">} tx
 * @returns {Promise<(job: string) => Under>}
 */
export async function underIn(tx) {
  const meta = tx.objectStore("meta");
  const [whole, car] = await Promise.all([meta.get("erasures"), meta.get("unnamed")]);
  return (job) => ({ whole: whole?.[job] || undefined, car: car?.[job] });
}

/**
 * Note an erasure, and what else of the job is somebody's name: who sent it, its card, what is typed half.
 * @param {Over<Name>} tx
 * @param {Pick<Entry, "id" | "job" | "body">} erasure
 */
async function note(tx, { id, job, body }) {
  const meta = tx.objectStore("meta");
  const place = body.only === CAR ? "unnamed" : "erasures";
  const known = (await meta.get(place)) ?? {};
  await meta.put({ ...known, [job]: (known[job] ?? "") > id ? known[job] : id }, place);
  if (place === "unnamed") return;
  const { [job]: _gone, ...senders } = (await meta.get("senders")) ?? {};
  await meta.put(senders, "senders");
  const gone = (await meta.get("gone")) ?? { jobs: [], photos: [] };
  await meta.put({ ...gone, jobs: [...new Set([...gone.jobs, job])] }, "gone");
  await forgetCard(tx, job);
}

/**
 * Note photos whose records lost their names, until their bytes are let go; inside a transaction.
 * @param {Over<"meta">} tx
 * @param {Entry[]} lost as they were
 */
export async function notePhotos(tx, lost) {
  const names = lost.filter(({ kind }) => kind === "photo").map(({ body }) => String(body.sha256));
  if (!names.length) return;
  const meta = tx.objectStore("meta");
  const gone = (await meta.get("gone")) ?? { jobs: [], photos: [] };
  await meta.put({ ...gone, photos: [...new Set([...gone.photos, ...names])] }, "gone");
}

/**
 * Go by an erasure from now on, inside a transaction over all stores, and take the words out of what is here. Resolves
 * to how many entries had some. What it takes that this version does not know is left to a later one.
 * @param {Over<Name>} tx
 * @param {Pick<Entry, "id" | "job" | "body">} erasure
 */
export async function eraseIn(tx, erasure) {
  const { job, body } = erasure;
  if ((body.only ?? CAR) !== CAR) return 0;
  await note(tx, erasure);
  const under = (await underIn(tx))(job);
  const entries = tx.objectStore("entries");
  /** @type {Map<string, Entry>} */
  const all = new Map();
  const lost = [];
  for (const entry of await entries.index("job").getAll(job)) {
    const left = standing(entry, under);
    all.set(entry.id, left);
    if (left === entry) continue;
    lost.push(entry);
    await entries.put(left);
  }
  await notePhotos(tx, lost);
  for (const row of await tx.objectStore("disputed").getAll()) {
    const mine = all.get(row.id);
    if (mine) await less(tx, row, { mine, mark: under.whole ? true : CAR });
  }
  return lost.length;
}

/**
 * Another content without its words; where nothing differs any more it goes, and the shop is asked once more.
 * @param {Over<Name>} tx
 * @param {Disputed} row
 * @param {{ mine: Entry, mark: Entry["erased"] }} of that entry as it stands, and what is gone from it
 */
async function less(tx, row, { mine, mark: lost }) {
  const left = bareAs(row.entry, lost);
  if (left === row.entry && !standsFor(mine, left)) return;
  const disputed = tx.objectStore("disputed");
  if (!standsFor(mine, left)) {
    // The key is a sum over the words, too.
    await disputed.delete(row.key);
    await disputed.put({ ...row, key: `${row.id} ${row.at} erased`, entry: left });
    return;
  }
  await disputed.delete(row.key);
  const marks = tx.objectStore("marks");
  const mark = await marks.get(row.id);
  if (mark?.state === "refused") await marks.put({ id: mark.id, job: mark.job, n: mark.n, state: "waiting" });
}

/**
 * What the shop keeps without words is kept here without, inside a transaction over entries.
 * @param {Over<"entries" | "meta">} tx
 * @param {string} id
 * @param {Entry["erased"]} mark what the shop says of it
 */
export async function bareIn(tx, id, mark) {
  const entry = await tx.objectStore("entries").get(id);
  if (!entry) return;
  const left = bareAs(entry, mark);
  await tx.objectStore("entries").put(left);
  if (left !== entry && mark !== CAR) await notePhotos(tx, [entry]);
}
