/* A customer is erased on this phone: the words go from every entry of the job, in the transaction that takes the
   erasure in, and from what comes later. The one place that puts entries over. Which words those are is erased.js's
   business; whether an erasure counts here is the log's. */

import { transact } from "./base.js";
import { erased, standing, standsFor } from "./erased.js";
import { forgetCard } from "./shelf.js";

/** @import { Name, Over } from "../vendor/idb.mjs" */
/** @import { Disputed, Entry } from "../types/log.d.ts" */

export { ERASE, erased, standing, standsFor } from "./erased.js";

/** Photos whose records lost their names, until their bytes are let go. @type {Set<string>} */
const pictures = new Set();

/** Let go of the bytes of photos that no record names any more; after the transaction that erased. */
export async function letPhotosGo() {
  const names = [...pictures];
  if (!names.length) return;
  const all = await transact(["entries"], "readonly", (tx) => tx.store.getAll());
  const named = new Set(all.filter(({ kind }) => kind === "photo").map(({ body }) => body.sha256));
  const { drop } = await import("./photos.js");
  for (const name of names) {
    if (!named.has(name)) await drop(name);
    pictures.delete(name);
  }
}

/**
 * Go by an erasure from now on, inside a transaction over all stores, and take the words out of what is here. Resolves
 * to how many entries had some.
 * @param {Over<Name>} tx
 * @param {string} job
 * @param {string} id of the entry that erases
 */
export async function eraseIn(tx, job, id) {
  const meta = tx.objectStore("meta");
  const known = (await meta.get("erasures")) ?? {};
  const last = (known[job] ?? "") > id ? known[job] : id;
  await meta.put({ ...known, [job]: last }, "erasures");
  // Who sent it is somebody's name too.
  const { [job]: _gone, ...senders } = (await meta.get("senders")) ?? {};
  await meta.put(senders, "senders");
  await forgetCard(tx, job);
  const entries = tx.objectStore("entries");
  /** @type {Map<string, Entry>} */
  const all = new Map();
  let changed = 0;
  for (const entry of await entries.index("job").getAll(job)) {
    const left = standing(entry, last);
    all.set(entry.id, left);
    if (left === entry) continue;
    if (entry.kind === "photo") pictures.add(String(entry.body.sha256));
    await entries.put(left);
    changed += 1;
  }
  for (const row of await tx.objectStore("disputed").getAll()) {
    const mine = all.get(row.id);
    if (mine) await less(tx, row, mine);
  }
  return changed;
}

/**
 * Another content without its words; where nothing differs any more it goes, and the shop is asked once more.
 * @param {Over<Name>} tx
 * @param {Disputed} row
 * @param {Entry} mine
 */
async function less(tx, row, mine) {
  const left = erased(row.entry);
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
 * @param {Over<"entries">} tx
 * @param {string} id
 */
export async function bareIn(tx, id) {
  const entry = await tx.objectStore("entries").get(id);
  if (entry) await tx.objectStore("entries").put(erased(entry));
}
