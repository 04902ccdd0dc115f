/* Looking for a job: cards of this phone in which every word stands, and what only the shop has. Here once somebody
   types. */

import { h, say } from "../parts/dom.js";
import { unreadWords } from "../work/holding-words.js";
import { counted } from "../work/plural.js";
import { carded, folded, inWork, list } from "./jobs-cards.js";
import { named } from "../work/this-device.js";

/** @import { About } from "./jobs-cards.js" */
/** @import { Context } from "../types/context.d.ts" */
/** @import { JobRow } from "../types/log.d.ts" */

/** What only the shop has: null where nobody asked, or there is nothing besides.
 * @typedef {Awaited<ReturnType<Context["shop"]["findAtShop"]>>} AtShop */

/** Cards that are drawn of each shelf; whoever looks for one goes on typing. */
const MOST = 60;
/** Letters that the shop is asked for at least, and for how long nothing more was typed by then. */
const LEAST = 2;
const ASK_MS = 300;

const SAID = {
  away: "At the shop",
  notAsked:
    "{Here} holds some of the shop’s jobs. The shop cannot be reached now to look through the others. Search again " +
    "where it can, and open the job: then it is on {here} too.",
  unread: (/** @type {number} */ n) => `On {here} ${unreadWords(n)}`,
  unreadThere: (/** @type {number} */ n) => `At the shop ${unreadWords(n)}`,
  /** @type {[string, string]} */
  more: ["{n} more job at the shop. Type more to find it.", "{n} more jobs at the shop. Type more to find them."],
  nothing: (/** @type {string} */ words) => `No job on {here} has “${words}” in its car, owner or request.`,
};

/**
 * The cards of a search, as the shelves are; below, what only the shop has.
 * @param {Context} ctx
 * @param {{ found: { rows: JobRow[], unread: number }, there: AtShop, words: string }} search
 * @param {About} about
 * @returns {HTMLElement[]}
 */
function drawn(ctx, { found: { rows, unread }, there, words }, about) {
  const found = carded(rows);
  const ids = new Set(found.map(({ job }) => job));
  const more = carded(there?.rows ?? []).filter(({ job }) => !ids.has(job));
  const of = (/** @type {string} */ shelf) => {
    const rows = found.filter((row) => row.shelf === shelf);
    return { rows: rows.slice(0, MOST), total: rows.length };
  };
  const open = of("open").rows;
  return [
    list(ctx, open, about, inWork(open)),
    folded(ctx, "closed", of("closed"), { about, open: true }),
    folded(ctx, "hidden", of("hidden"), { about }),
    found.length ? null : h("p", { text: named(SAID.nothing(words)) }),
    more.length ? h("h2", { text: SAID.away }) : null,
    list(ctx, more, about),
    there?.more ? h("p", { text: counted(there.more, ...SAID.more) }) : null,
    unread ? h("p", { class: "working", text: named(SAID.unread(unread)) }) : null,
    there?.unread ? h("p", { class: "working", text: SAID.unreadThere(there.unread) }) : null,
    there?.away ? h("p", { text: named(SAID.notAsked) }) : null,
  ].filter((part) => part !== null);
}

/**
 * A search in the list of jobs: `typed()` at every letter, `look()` where jobs changed; `draw(cards)` is called with
 * what to show, null where nothing is looked for.
 * @param {Context} ctx
 * @param {HTMLInputElement} input
 * @param {{ draw: (cards: HTMLElement[] | null) => void, about: () => About }} how
 */
export function searching(ctx, input, { draw, about }) {
  /** @type {AtShop} */
  let there = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let asking;
  const look = async () => {
    const text = input.value;
    const words = text.toLowerCase().split(/\s+/).filter(Boolean);
    const found = words.length ? await ctx.log.like(words) : null;
    if (text === input.value) draw(found && drawn(ctx, { found, there, words: text }, about()));
    return found;
  };
  const ask = async (/** @type {string} */ words) => {
    await ctx.need("rest");
    const come = await ctx.shop.findAtShop(words);
    if (words !== input.value.trim()) return;
    there = come;
    await look();
  };
  const typed = async () => {
    there = null;
    clearTimeout(asking);
    const words = input.value.trim();
    // What is not on this phone is looked for at the shop, once nothing more is typed.
    if (words.length >= LEAST) asking = setTimeout(() => ask(words).catch(() => {}), ASK_MS);
    const found = await look();
    if (found) say(counted(found.rows.length, "{n} job found", "{n} jobs found"));
  };
  return { look, typed };
}
