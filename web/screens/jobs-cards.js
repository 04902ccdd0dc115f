/* The cards of the first screen, and the keys that go on with one of them: here as soon as there is a job. They are
   drawn as they were kept (work/card.js); nothing is worked out here. */

import { h } from "../parts/dom.js";
import { stageStrip } from "../parts/draw/stages.js";
import { card as plateCard, fold } from "../parts/plate.js";
import { FIRST } from "../work/first-words.js";
import { counted } from "../work/plural.js";

/** @import { KeySpec } from "../parts/deck.js" */
/** @import { Context } from "../types/context.d.ts" */
/** @import { Card, Counts, JobRow } from "../types/log.d.ts" */

/** @typedef {Awaited<ReturnType<Context["log"]["shelves"]>>} Shelves */
/** @typedef {JobRow["shelf"]} Shelf */
/** @typedef {JobRow & { card: Card }} Carded A row whose card was made. */

/**
 * @typedef {object} About What is said of jobs besides their own.
 * @property {Map<string, Pick<Counts, "waiting" | "refused">>} behind what of each has not reached the shop
 * @property {boolean} paired
 * @property {Map<string, string>} news "2 new" of the jobs where something is, once that is known
 */

/** Shelves that are folded. */
const FOLDED = { closed: "Handed over", hidden: "Hidden" };
const SAID = {
  away: "At the shop",
  reading: (/** @type {number} */ n, /** @type {number} */ of) => `Reading the records: ${n} of ${of} jobs`,
  /** @type {[string, string]} */
  more: ["{n} more job", "{n} more jobs"],
};

/**
 * What has not reached the shop; nothing where there is none, or no shop.
 * @param {Partial<Counts>} [counts]
 * @param {boolean} [paired]
 */
function unsynced({ waiting = 0, refused = 0 } = {}, paired = false) {
  const lines = [
    paired && waiting ? counted(waiting, "{n} change not synced", "{n} changes not synced") : "",
    refused ? counted(refused, "{n} change refused by the shop", "{n} changes refused by the shop") : "",
  ].filter(Boolean);
  return lines.map((text) => h("span", { class: "left-here", text }));
}

/** That the customer was erased; seldom seen, so its words are fetched for it. @param {Pick<Card, "erased">} kept */
function erasedLine(kept) {
  const line = h("span", { class: "was-erased" });
  const told = import("../work/erased-words.js").then(({ erasedWords }) => (line.textContent = erasedWords(kept)));
  told.catch(() => {});
  return line;
}

/**
 * A job's card; `first` where it is the one to go on with.
 * @param {Context} ctx
 * @param {Carded} row
 * @param {About & { first?: boolean }} about
 */
function card(ctx, { job, whole, card: kept }, { behind, paired, news, first = false }) {
  const fresh = news.get(job);
  const node = plateCard(
    { href: ctx.href(kept.next, job), form: first ? "in-work" : "", cls: "job" },
    h("strong", { text: kept.name }),
    fresh ? h("b", { class: "new-mark", text: fresh }) : null,
    kept.erased ? erasedLine(kept) : null,
    kept.target ? h("span", { class: "target-words", text: kept.target }) : null,
    kept.done || !kept.stages.length ? null : stageStrip(kept.stages, kept.at, kept.stage),
    h("b", { class: "stands", text: kept.due ?? kept.stands }),
    whole ? null : h("span", { class: "left-here", text: SAID.away }),
    unsynced(behind.get(job), paired),
  );
  node.dataset.job = job;
  return h("li", null, node);
}

/** @param {JobRow[]} rows @returns {Carded[]} */
export const carded = (rows) => /** @type {Carded[]} */ (rows.filter((row) => row.card));

/**
 * The job to go on with: the first that is open and here.
 * @param {JobRow[]} rows
 */
export const inWork = (rows) => carded(rows).find(({ whole }) => whole);

/**
 * @param {Context} ctx
 * @param {Carded[]} rows
 * @param {About} about
 * @param {Carded} [first]
 */
export const list = (ctx, rows, about, first) =>
  rows.length
    ? h(
        "ul",
        { class: "cards" },
        rows.map((row) => card(ctx, row, { ...about, first: row === first })),
      )
    : null;

/**
 * The key that shows more of a shelf.
 * @param {number} left
 * @param {() => void} onclick
 */
const moreKey = (left, onclick) =>
  left > 0 ? h("button", { type: "button", class: "key", onclick }, counted(left, ...SAID.more)) : null;

/**
 * A folded shelf, its cards where they were read; nothing where no job stands there.
 * @param {Context} ctx
 * @param {keyof typeof FOLDED} name
 * @param {Shelves["closed"]} shelf
 * @param {{ about: About, count?: string, open?: boolean, more?: (shelf: Shelf) => void }} how `count` what is said of
 *   how many there are, `more` shows more of them
 */
export function folded(ctx, name, { rows, total }, { about, count = String(total), open = false, more }) {
  if (!total) return null;
  const unread = rows.length - carded(rows).length;
  return fold(
    { title: FOLDED[name], more: count, open, id: name, level: "h2" },
    unread ? h("p", { class: "working", text: SAID.reading(total - unread, total) }) : null,
    list(ctx, carded(rows), about),
    more && rows.length ? moreKey(total - rows.length, () => more(name)) : null,
  );
}

/**
 * The cards, those open before those handed over.
 * @param {Context} ctx
 * @param {Shelves} held
 * @param {About} about
 * @param {(shelf: Shelf) => void} more
 * @returns {HTMLElement[]}
 */
export function shelf(ctx, { open, closed, hidden, due }, about, more) {
  const now = carded(open.rows);
  const unread = open.rows.length - now.length;
  const all = open.total + closed.total;
  const count = due ? counted(due, `${closed.total}, {n} to recheck`, `${closed.total}, {n} to recheck`) : undefined;
  return [
    unread ? h("p", { class: "working", text: SAID.reading(all - unread, all) }) : null,
    list(ctx, now, about, inWork(open.rows)),
    moreKey(open.total - open.rows.length, () => more("open")),
    folded(ctx, "closed", closed, { about, count, more }),
    folded(ctx, "hidden", hidden, { about, more }),
  ].filter((part) => part !== null);
}

/**
 * The keys under the thumb, from the job to go on with.
 * @param {Context} ctx
 * @param {Shelves} held
 * @returns {{ quiet: KeySpec | null, main: KeySpec }}
 */
export function deckOf(ctx, { open }) {
  const begin = { words: FIRST.begin, href: "#/new" };
  const row = inWork(open.rows);
  if (!row) return { quiet: null, main: begin };
  const { next, small } = row.card;
  return { quiet: begin, main: { words: "Go on", small, href: ctx.href(next, row.job) } };
}
