/* What this device has of each job beside its entries (store jobs): how its card looks, on which shelf it stands,
   whether its entries are here whole. So the list of jobs needs no fold, however many there are.

   A write of entries notes in its own transaction that the card is older than they are; the card comes after a fold
   (remake.js). What it says is work/card.js's business, which jobs are fetched shop/fetch.js's. */

import { transact } from "./base.js";
import { dropStart } from "./last-start.js";
import { tell } from "./tabs.js";

/** @import { Over, Store } from "../vendor/idb.mjs" */
/** @import { Came, Card, Counts, Entry, JobRow, MarkState } from "../types/log.d.ts" */

/** @typedef {JobRow["shelf"]} Shelf */
/** @typedef {{ rows: JobRow[], total: number }} Some The first of a shelf, latest first, and how many there are. */
/** @typedef {Map<string, Pick<Counts, "waiting" | "refused">>} Behind What of each job has not reached the shop. */
/** @typedef {{ job: string, grown: number, made: string, card: Card }} Made A card, and of which entries. */

/** Rows that are read in one go and ordered here; of more, only the first are read. */
const AT_ONCE = 200;

/**
 * Marks of a state, in order of arrival.
 * @param {MarkState} state
 */
export const ofState = (state) => IDBKeyRange.bound([state, -Infinity], [state, Infinity]);

/** @param {string} shelf */
const on = (shelf) => IDBKeyRange.bound([shelf], [shelf, []]);

/**
 * On which shelf a job stands.
 * @param {Pick<Card, "done" | "hidden">} card
 * @returns {Shelf}
 */
export const shelfOf = ({ done, hidden }) => (hidden ? "hidden" : done ? "closed" : "open");

/**
 * A row of a job that nothing is known of yet.
 * @param {string} job
 * @returns {JobRow}
 */
export const emptyRow = (job) => ({ job, shelf: "open", last: job, grown: 0, made: "", whole: true, card: null });

/**
 * A row of a job that is to be fetched from the shop.
 * @param {string} job
 * @returns {JobRow}
 */
export const awayRow = (job) => ({ ...emptyRow(job), whole: false, wanted: 1 });

/**
 * Note that entries were added, inside their transaction. A job that was not here is here from its first entry, unless
 * its row says otherwise, or a link brings it to a device that holds some of the shop's jobs: the shop may have more of
 * it.
 * @param {Over<"jobs" | "meta">} tx
 * @param {Entry[]} added
 * @param {{ came: Came }} how
 */
export async function grew(tx, added, { came }) {
  /** @type {Map<string, string>} */
  const last = new Map();
  for (const { job, id } of added) if (id > (last.get(job) ?? "")) last.set(job, id);
  const jobs = tx.objectStore("jobs");
  const some = came !== "here" && (await tx.objectStore("meta").get("sync"))?.some;
  await Promise.all(
    [...last].map(async ([job, id]) => {
      const row = (await jobs.get(job)) ?? (some ? awayRow(job) : emptyRow(job));
      await jobs.put({ ...row, grown: row.grown + 1, made: "", last: id > row.last || !row.grown ? id : row.last });
    }),
  );
}

/**
 * Take a card away that has words of a customer who was erased, inside the transaction that erases; it is made anew.
 * @param {Over<"jobs">} tx
 * @param {string} job
 */
export async function forgetCard(tx, job) {
  const row = await tx.objectStore("jobs").get(job);
  if (row) await tx.objectStore("jobs").put({ ...row, made: "", card: null });
  dropStart();
}

/**
 * The first rows of a shelf; none where none are wanted.
 * @param {Store<"jobs">} store
 * @param {Shelf} shelf
 * @param {number} most
 * @returns {Promise<Some>}
 */
async function firstOf(store, shelf, most) {
  const index = store.index("shelf");
  const total = await index.count(on(shelf));
  if (!most) return { rows: [], total };
  if (total <= AT_ONCE) return { rows: (await index.getAll(on(shelf))).reverse().slice(0, most), total };
  const rows = [];
  for (let at = await index.openCursor(on(shelf), "prev"); at && rows.length < most; at = await at.continue())
    rows.push(at.value);
  return { rows, total };
}

/**
 * How many entries of each job wait or were refused.
 * @param {Store<"marks">} marks
 */
async function behindIn(marks) {
  const states = /** @type {("waiting" | "refused")[]} */ (["waiting", "refused"]);
  const read = states.map((state) => marks.index("state").getAll(ofState(state)));
  /** @type {Behind} */
  const found = new Map();
  for (const [i, all] of (await Promise.all(read)).entries())
    for (const { job } of all) {
      const one = found.get(job) ?? { waiting: 0, refused: 0 };
      one[states[i]] += 1;
      found.set(job, one);
    }
  return found;
}

/**
 * Of each shelf the first, latest first; how many are to be rechecked, how much there is to settle, what has not
 * reached the shop, and whether there is one.
 * @param {Record<Shelf, number>} most
 */
export const shelves = (most) =>
  transact(["jobs", "marks", "meta"], "readonly", async (tx) => {
    const store = tx.objectStore("jobs");
    const [open, closed, hidden, due, asking, behind, access] = await Promise.all([
      firstOf(store, "open", most.open),
      firstOf(store, "closed", most.closed),
      firstOf(store, "hidden", most.hidden),
      store.index("due").count(),
      store.index("asks").getAll(),
      behindIn(tx.objectStore("marks")),
      tx.objectStore("meta").get("access"),
    ]);
    const asks = asking.reduce((sum, { asks = 0 }) => sum + asks, 0);
    return { open, closed, hidden, due, asks, behind, paired: Boolean(access) };
  });

/**
 * Jobs whose card was not made by this, those that have grown first; of jobs handed over an older app's card serves
 * until it is drawn.
 * @param {string} made
 * @returns {Promise<string[]>}
 */
export const stale = (made) =>
  transact(["jobs"], "readonly", async ({ store }) => {
    const [grown, ...older] = await Promise.all([
      store.index("made").getAll(""),
      store.index("made").getAll(IDBKeyRange.bound("", made, true, true)),
      store.index("made").getAll(IDBKeyRange.lowerBound(made, true)),
    ]);
    const latest = (/** @type {JobRow[]} */ rows) =>
      rows
        .filter(({ whole }) => whole)
        .sort((a, b) => (a.last < b.last ? 1 : -1))
        .map(({ job }) => job);
    return [...latest(grown), ...latest(older.flat().filter(({ shelf }) => shelf === "open"))];
  });

/**
 * Keep cards, unless more entries have come than they were made of; told to every page.
 * @param {Made[]} cards
 */
export async function keepCards(cards) {
  await transact(["jobs"], "readwrite", async ({ store }) => {
    await Promise.all(
      cards.map(async ({ job, grown, made, card }) => {
        const row = await store.get(job);
        if (!row || row.grown !== grown) return;
        const { asks: _, due: __, ...rest } = row;
        await store.put({
          ...rest,
          made,
          card,
          shelf: shelfOf(card),
          ...(card.asks ? { asks: card.asks } : {}),
          ...(card.due ? { due: 1 } : {}),
        });
      }),
    );
  });
  if (cards.length) tell({ what: "cards", jobs: cards.map(({ job }) => job) });
}
