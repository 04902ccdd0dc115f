/* The first screen: the jobs of this phone as cards, the one worked on last first; under the thumb a new job and
   going on with that one; below, small, what is not work.

   Whoever comes for the first time sees it without a job, and waits for this module alone. The cards come once there is
   one, as they were kept when their jobs were folded last, only the first of them; what stands below comes after. */

import { h } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { laterStyles } from "../parts/style.js";
import { FIRST } from "../work/first-words.js";
import { named } from "../work/this-device.js";

/** @import { About } from "./jobs-cards.js" */
/** @import { Context, Shown } from "../types/context.d.ts" */
/** @import { JobRow } from "../types/log.d.ts" */

/** @typedef {Awaited<ReturnType<Context["log"]["shelves"]>>} Shelves */

/** From so many jobs on there is a search. */
const MANY = 7;
/** Cards that are drawn of each shelf, and how many more when they are asked for. */
const FEW = 40;

const SAID = {
  find: "Find by car, owner or request",
  gone: "That job is not on {here}. Open its link, or pair with the shop that has it.",
  away: "This job is at the shop, not on {here}. Open it again where the shop can be reached.",
  lost: "That address leads nowhere. Here are the jobs.",
  failed: (/** @type {string} */ why) => `${why} Your data is safe.`,
};
const BEGIN = { words: FIRST.begin, href: "#/new" };

/** What draws cards, once there was a job. @type {typeof import("./jobs-cards.js") | null} */
let cards = null;

/** Have the cards, and the style sheets that they need. */
async function fetchCards() {
  [cards] = await Promise.all([import("./jobs-cards.js"), laterStyles()]);
  return cards;
}

/**
 * What stands below the jobs; filled once, after the jobs, so that nothing jumps under a finger.
 * @param {Context} ctx
 */
function footOf(ctx) {
  const node = h("div", { class: "foot-of-jobs", hidden: true });
  // Asked once there is something to keep; a browser that promises is not mentioned.
  const promise = h("p", { class: "promise", hidden: true });
  /** @type {Promise<void> | null} */
  let filled = null;
  /** @type {Promise<void> | null} */
  let once = null;
  const fill = async () => {
    const [{ below }] = await Promise.all([import("./jobs-foot.js"), ctx.need("rest"), laterStyles()]);
    // Another screen may stand by now; what is followed here would be followed there.
    if (!node.isConnected) return;
    node.append(...below(ctx, promise));
    node.hidden = false;
  };
  const ask = async () => {
    const { kept, text } = await ctx.device.askToKeep();
    promise.hidden = kept === true;
    promise.textContent = text;
  };
  return {
    node,
    show: () => (filled ??= fill().catch(() => void (filled = null))),
    ask: () => (once ??= ask().catch(() => {})),
  };
}

/** The search over many jobs. */
function finder() {
  const input = h("input", { id: "search", type: "search", autocomplete: "off", maxlength: 60, placeholder: "Gannet" });
  const node = h("div", { class: "new", hidden: true }, h("label", { for: "search", text: SAID.find }), input);
  return { input, node };
}

const alert = (/** @type {string} */ text) => h("p", { class: "refused", role: "alert", text });

/** Nothing is here yet. @type {Shelves} */
const NONE = {
  open: { rows: [], total: 0 },
  closed: { rows: [], total: 0 },
  hidden: { rows: [], total: 0 },
  due: 0,
  asks: 0,
};

/** How many jobs there are, on whichever shelf. @param {Shelves} held */
const totalOf = ({ open, closed, hidden }) => open.total + closed.total + hidden.total;

/**
 * The list as it stands in the page: `begin()` draws it, and draws it again whenever something has changed.
 * @param {Context} ctx
 * @param {{ mine: HTMLElement, lead: HTMLElement, resolve: HTMLElement, search: ReturnType<typeof finder>,
 *   foot: ReturnType<typeof footOf>, screen: ReturnType<typeof shell>, settled: () => void }} parts
 */
function listing(ctx, { mine, lead, resolve, search, foot, screen, settled }) {
  const most = { open: FEW, closed: FEW, hidden: FEW };
  let held = NONE;
  /** @type {HTMLElement[] | null} */
  let found = null;
  /** @type {About} */
  let about = { behind: new Map(), paired: false, news: new Map() };
  /** The search, once somebody has typed.
   * @type {ReturnType<typeof import("./jobs-search.js").searching> | null} */
  let finding = null;
  const told = (/** @type {{ detail?: string, message: string }} */ error) => {
    mine.replaceChildren(alert(SAID.failed(error.detail ?? error.message)));
    settled();
  };
  const showNone = () => {
    mine.replaceChildren();
    screen.deck.show({ quiet: { words: FIRST.link, href: "#/open" }, main: BEGIN });
    screen.title.textContent = FIRST.none;
    lead.hidden = false;
  };
  /** The folds that are open: they stay so. */
  const opened = () => [...mine.querySelectorAll("details[open]")].map(({ id }) => id);
  const show = () => {
    if (!cards || !totalOf(held)) return showNone();
    const stay = opened();
    mine.replaceChildren(...(found ?? cards.shelf(ctx, held, about, more)));
    for (const id of stay) mine.querySelector(`#${id}`)?.setAttribute("open", "");
    screen.deck.show(cards.deckOf(ctx, held));
    screen.title.textContent = held.open.total ? FIRST.title : FIRST.none;
    lead.hidden = true;
  };
  /** @param {JobRow["shelf"]} shelf */
  function more(shelf) {
    most[shelf] += FEW;
    draw().catch(told);
  }
  const drawFound = (/** @type {HTMLElement[] | null} */ come) => {
    found = come;
    show();
  };
  const find = async () => {
    const { searching } = await import("./jobs-search.js");
    await (finding ??= searching(ctx, search.input, { draw: drawFound, about: () => about })).typed();
  };
  const draw = async () => {
    const [shelves, behind, access] = await Promise.all([
      ctx.log.shelves(most),
      ctx.log.behindByJob(),
      ctx.device.access(),
    ]);
    held = shelves;
    about = { ...about, behind, paired: Boolean(access) };
    const all = totalOf(held);
    if (all) await fetchCards();
    search.node.hidden = all < MANY;
    if (all) foot.ask();
    show();
    await finding?.look();
    // Where a card was never made there is nothing to see yet.
    if (!all || held.open.rows.some(({ card }) => card) || !held.open.total) settled();
  };
  /** What is not needed to see the cards. */
  const after = async () => {
    await ctx.log.remake();
    settled();
    const { newsIn, toResolve } = await import("./jobs-news.js");
    await toResolve(ctx, held.asks, resolve);
    about.news = await newsIn(ctx, [...held.open.rows, ...held.closed.rows]);
    if (about.news.size) show();
    await ctx.log.refresh(held.closed.rows);
  };
  const anew = async () => {
    await draw();
    // Where cards stand, they stay.
    await after().catch((error) => (held.open.rows.some(({ card }) => card) ? settled() : told(error)));
  };
  const begin = () => {
    // Somebody new has these words before them already, as index.html has them.
    if (document.documentElement.dataset.visit === "first") showNone();
    anew().catch(told);
    search.input.addEventListener("input", () => find().catch(told));
    ctx.whileShown(
      ctx.log.listen((message) => {
        if (message.what === "cards") draw().catch(told);
        else if (["entries", "marks"].includes(message.what)) anew().catch(told);
      }),
    );
  };
  return { begin };
}

/**
 * The screen.
 * @param {Context} ctx
 * @returns {Shown}
 */
export function jobsScreen(ctx) {
  const lead = h("p", { class: "how", hidden: true, text: FIRST.lead });
  const mine = h("div", { class: "mine" });
  const search = finder();
  const resolve = h("a", { class: "key unsettled", href: "#/desk", hidden: true });
  const foot = footOf(ctx);
  const [said] = /** @type {const} */ (["away", "gone", "lost"]).filter((name) => ctx.query[name]);
  const body = h(
    "div",
    { class: "home" },
    said ? alert(named(SAID[said])) : null,
    lead,
    resolve,
    search.node,
    mine,
    foot.node,
  );
  const screen = shell({ title: FIRST.title, body: [body], quiet: BEGIN });
  /** @type {() => void} */
  let stood = () => {};
  /** @type {Promise<void>} */
  const stands = new Promise((done) => (stood = done));
  const settled = () => {
    stood();
    foot.show();
  };
  listing(ctx, { mine, lead, resolve, search, foot, screen, settled }).begin();
  return { title: FIRST.name, node: screen.node, stands };
}
