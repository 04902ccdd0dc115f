/* The first screen: the jobs of this phone as cards, the one worked on last first; under the thumb a new job and
   going on with that one; below, small, what is not work.

   Whoever comes for the first time sees it without a job, and waits for this module alone. The cards come once there is
   one, as they were kept when their jobs were folded last, only the first of them; what stands below, and what is in
   folded shelves, comes after they were seen. */

import { h, rested } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { cardStyles, laterStyles } from "../parts/style.js";
import { FIRST } from "../work/first-words.js";
import { named } from "../work/this-device.js";

/** @import { About } from "./jobs-cards.js" */
/** @import { Context, Shown } from "../types/context.d.ts" */
/** @import { JobRow } from "../types/log.d.ts" */

/** @typedef {Awaited<ReturnType<Context["log"]["shelves"]>>} Shelves */

/** From so many jobs on there is a search. */
const MANY = 7;
/** How long at most the first cards' being seen is waited for. */
const PAINT_MS = 200;

const SAID = {
  find: "Find by car, owner or request",
  gone: "That job is not on {here}. Open its link, or pair with the shop that has it.",
  away: "This job is at the shop, not on {here}. Open it again where the shop can be reached: then it stays.",
  lost: "That address leads nowhere. Here are the jobs.",
  failed: (/** @type {string} */ why) => `${why} Your data is safe.`,
};
const BEGIN = { words: FIRST.begin, href: "#/new" };

/** What draws cards, once there was a job. @type {typeof import("./jobs-cards.js") | null} */
let cards = null;

/** Have the cards, and the style sheets that they need. */
async function fetchCards() {
  [cards] = await Promise.all([import("./jobs-cards.js"), cardStyles()]);
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

/** Once what was drawn is seen; a page that nobody sees is not painted. @returns {Promise<void>} */
const painted = () =>
  new Promise((done) => {
    setTimeout(done, PAINT_MS);
    requestAnimationFrame(() => setTimeout(done));
  });

const alert = (/** @type {string} */ text) => h("p", { class: "refused", role: "alert", text });

/**
 * What stands before the jobs are read: the words of somebody new, which index.html has too, or the page as it was
 * drawn last (visit.js), while the cards' module comes.
 * @param {{ mine: HTMLElement, search: ReturnType<typeof finder>, screen: ReturnType<typeof shell> }} parts
 * @param {() => void} showNone
 */
function before({ mine, search, screen }, showNone) {
  if (document.documentElement.dataset.visit === "first") return showNone();
  const last = document.querySelector("#main > [data-last]");
  if (last) {
    mine.append(...last.querySelectorAll(".mine > *"));
    search.node.hidden = !last.querySelector(".new");
    screen.deck.node.replaceChildren(...last.querySelectorAll(".deck > *"));
  }
  fetchCards().catch(() => {});
}

/**
 * Put the page by for the next start.
 * @param {Context} ctx
 * @param {Shelves} held
 * @param {About} about
 */
async function putBy(ctx, held, about) {
  try {
    (await import("./jobs-kept.js")).putBy(ctx, held, { about, search: areMany(held) ? finder().node : null });
  } catch {
    // The network went before that module came: the page is as it was put by last.
  }
}

/** The same while another screen is shown. @param {Context} ctx */
export async function putStartBy(ctx) {
  const held = await ctx.log.shelves({ open: ctx.log.few, closed: 0, hidden: 0 });
  await putBy(ctx, held, { behind: held.behind, paired: held.paired, news: new Map() });
}

/** Nothing is here yet. @type {Shelves} */
const NONE = {
  open: { rows: [], total: 0 },
  closed: { rows: [], total: 0 },
  hidden: { rows: [], total: 0 },
  due: 0,
  asks: 0,
  behind: new Map(),
  paired: false,
};

/** How many jobs there are, on whichever shelf. @param {Shelves} held */
const totalOf = ({ open, closed, hidden }) => open.total + closed.total + hidden.total;
/** Whether they are so many that there is a search. @param {Shelves} held */
const areMany = (held) => totalOf(held) >= MANY;

/**
 * Draw the jobs anew; folds that are open stay so.
 * @param {HTMLElement} place
 * @param {HTMLElement[]} drawn
 */
function anewIn(place, drawn) {
  const stay = [...place.querySelectorAll("details[open]")].map(({ id }) => id);
  place.replaceChildren(...drawn);
  for (const id of stay) place.querySelector(`#${id}`)?.setAttribute("open", "");
}

/**
 * What others added to these jobs, in words; the way to the desk shows what there is to resolve.
 * @param {Context} ctx
 * @param {Shelves} held
 * @param {HTMLElement} resolve
 */
async function newsOf(ctx, held, resolve) {
  const { newsIn, toResolve } = await import("./jobs-news.js");
  await toResolve(ctx, held.asks, resolve);
  return newsIn(ctx, [...held.open.rows, ...held.closed.rows]);
}

/**
 * The list as it stands in the page: `begin()` draws it, and draws it again whenever something has changed.
 * @param {Context} ctx
 * @param {{ mine: HTMLElement, lead: HTMLElement, resolve: HTMLElement, search: ReturnType<typeof finder>,
 *   foot: ReturnType<typeof footOf>, screen: ReturnType<typeof shell>, settled: () => void }} parts
 */
function listing(ctx, { mine, lead, resolve, search, foot, screen, settled }) {
  const few = ctx.log.few;
  const most = { open: few, closed: few, hidden: few };
  let held = NONE;
  let begun = false;
  /** @type {HTMLElement[] | null} */
  let found = null;
  // One object throughout: what is new is put into it after a wait, in which the list may have been drawn again.
  /** @type {About} */
  const about = { behind: new Map(), paired: false, news: new Map() };
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
  const show = () => {
    if (!cards || !totalOf(held)) return showNone();
    anewIn(mine, found ?? cards.shelf(ctx, held, about, more));
    screen.deck.show(cards.deckOf(ctx, held));
    screen.title.textContent = held.open.total ? FIRST.title : FIRST.none;
    lead.hidden = true;
  };
  /** @param {JobRow["shelf"]} shelf */
  function more(shelf) {
    most[shelf] += few;
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
    held = await (begun ? ctx.log.shelves(most) : ctx.log.firstShelves());
    Object.assign(about, { behind: held.behind, paired: held.paired });
    const all = totalOf(held);
    // Cards stand already where the page was drawn last, and may be under a finger.
    if (all) await fetchCards().then(rested);
    search.node.hidden = !areMany(held);
    if (all) foot.ask();
    show();
    await finding?.look();
  };
  /** The cards that are seen at once; then, once they are, what is in folded shelves. */
  const drawAll = async () => {
    await draw();
    const first = !begun;
    begun = true;
    if (first) await painted();
    // Where a card was never made there is nothing to see yet.
    if (!held.open.total || held.open.rows.some(({ card }) => card)) settled();
    if (first && held.closed.total + held.hidden.total) await draw();
  };
  /** What is not needed to see the cards. */
  const after = async () => {
    await ctx.log.remake();
    settled();
    about.news = await newsOf(ctx, held, resolve);
    if (about.news.size) show();
    await putBy(ctx, held, about);
    await ctx.log.refresh(held.closed.rows);
  };
  const anew = async () => {
    await drawAll();
    // Where cards stand, they stay.
    await after().catch((error) => (held.open.rows.some(({ card }) => card) ? settled() : told(error)));
  };
  const begin = () => {
    before({ mine, search, screen }, showNone);
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
