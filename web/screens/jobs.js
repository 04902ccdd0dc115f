/* The first screen: the jobs on this phone as cards, the one worked on last first; under the thumb a new job and
   going on with that one; below, small, what is not work.

   Whoever comes for the first time sees it without a job, and waits for this module alone. The cards come once there is
   one, what stands below them after them. */

import { h, say } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { laterStyles } from "../parts/style.js";
import { FIRST } from "../work/first-words.js";
import { counted } from "../work/plural.js";
import { named } from "../work/this-device.js";

/** @import { About } from "./jobs-cards.js" */
/** @import { Context, Shown } from "../types/context.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */

/** From so many jobs on there is a search. */
const MANY = 7;

const SAID = {
  find: "Find by car, owner or request",
  gone: "That job is not on {here}. Open its link, or pair with the shop that has it.",
  lost: "That address leads nowhere. Here are the jobs.",
  failed: (/** @type {string} */ why) => `${why} Your data is safe.`,
};
const BEGIN = { words: FIRST.begin, href: "#/new" };

/** What draws cards, once there was a job. @type {typeof import("./jobs-cards.js") | null} */
let cards = null;

/** Have the cards, and the style sheets that they need. */
async function fetchCards() {
  [cards] = await Promise.all([import("./jobs-cards.js"), laterStyles()]);
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

/**
 * Conflicts of all jobs that are here: the way to the desk.
 * @param {Context} ctx
 * @param {string[]} list
 * @param {HTMLElement} way
 */
async function toResolve(ctx, list, way) {
  const open = new Set((await ctx.log.disputed()).filter((row) => !row.settled).map(({ id }) => id));
  const asked = (/** @type {Sheet | undefined} */ sheet) =>
    (sheet?.conflicts.length ?? 0) + (sheet?.unsure.length ?? 0);
  const much = list.reduce((sum, job) => sum + asked(ctx.log.peek(job)?.sheet), open.size);
  way.hidden = !much;
  way.textContent = counted(much, "{n} conflict to resolve", "{n} conflicts to resolve");
}

/**
 * What is new in each job since this device last looked at it: known once the cards stand.
 * @param {Context} ctx
 */
async function newsIn(ctx) {
  await ctx.need("rest");
  const [arrived, mine] = await Promise.all([ctx.news.arrivedByJob(), ctx.device.deviceId()]);
  if (!arrived.size) return null;
  const { newsCount, newsOf } = await import("../work/news.js");
  return (/** @type {string} */ job) => {
    const news = newsOf(ctx.log.peek(job)?.entries ?? [], arrived.get(job), mine);
    return news.length ? newsCount(news) : "";
  };
}

/**
 * The screen.
 * @param {Context} ctx
 * @returns {Shown}
 */
export function jobsScreen(ctx) {
  const lead = h("p", { class: "how", hidden: true, text: FIRST.lead });
  const mine = h("div", { class: "mine" });
  const { input, node: search } = finder();
  const resolve = h("a", { class: "key unsettled", href: "#/desk", hidden: true });
  const foot = footOf(ctx);
  const screen = shell({
    title: FIRST.title,
    body: [
      h(
        "div",
        { class: "home" },
        ctx.query.gone ? h("p", { class: "refused", role: "alert", text: named(SAID.gone) }) : null,
        ctx.query.lost ? h("p", { class: "refused", role: "alert", text: SAID.lost }) : null,
        lead,
        resolve,
        search,
        mine,
        foot.node,
      ),
    ],
    quiet: BEGIN,
  });
  /** @type {string[]} */
  let list = [];
  /** @type {About} */
  let about = { counts: new Map(), paired: false, reminder: null, news: null };
  /** @type {() => void} */
  let stood = () => {};
  /** @type {Promise<void>} */
  const stands = new Promise((done) => (stood = done));
  const settled = () => {
    stood();
    foot.show();
  };
  const showNone = () => {
    mine.replaceChildren();
    screen.deck.show({ quiet: { words: FIRST.link, href: "#/open" }, main: BEGIN });
    screen.title.textContent = FIRST.none;
    lead.hidden = false;
  };
  const show = () => {
    if (!cards || !list.length) return showNone();
    mine.replaceChildren(...cards.shelf(ctx, list, about, input.value));
    const { known, open } = cards.sorted(ctx, list);
    const whole = known.length === list.length;
    if (open.length || whole) screen.deck.show(cards.deckOf(ctx, open[0] ?? null));
    screen.title.textContent = open.length || !whole ? FIRST.title : FIRST.none;
    lead.hidden = true;
  };
  const draw = async () => {
    const [jobs, counts] = await Promise.all([ctx.log.jobs(), ctx.log.countsByJob()]);
    if (jobs.length) await fetchCards();
    const held = await ctx.device.access();
    list = jobs;
    about = { ...about, counts, paired: Boolean(held) };
    search.hidden = list.length < MANY;
    if (list.length) foot.ask();
    show();
    if (!list.length) settled();
    await ctx.log.lookAll(list, () => {
      show();
      settled();
    });
    // What reminds of a recheck comes where a car was handed over.
    if (cards?.sorted(ctx, list).closed.length) about.reminder ??= (await import("../work/recheck.js")).reminder;
    show();
    settled();
    await toResolve(ctx, list, resolve);
    about.news = await newsIn(ctx);
    if (about.news) show();
  };
  const told = (/** @type {{ detail?: string, message: string }} */ error) => {
    mine.replaceChildren(h("p", { class: "refused", role: "alert", text: SAID.failed(error.detail ?? error.message) }));
    settled();
  };
  // Somebody new has these words before them already, as index.html has them.
  if (document.documentElement.dataset.visit === "first") showNone();
  draw().catch(told);
  input.addEventListener("input", () => {
    show();
    say(counted(mine.querySelectorAll(".job").length, "{n} job found", "{n} jobs found"));
  });
  ctx.whileShown(ctx.log.listen((message) => ["entries", "marks"].includes(message.what) && draw().catch(told)));
  return { title: FIRST.name, node: screen.node, stands };
}
