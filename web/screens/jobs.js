/* The first screen: the jobs on this phone as cards, the one worked on last first; under the thumb a new job and
   going on with that one. Below the work, small: the shop's state, its pages, the demo jobs of Slipway Garage. */

import { h, say } from "../parts/dom.js";
import { stageStrip } from "../parts/draw/stages.js";
import { card as plateCard, fold } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { shopLine } from "../parts/shop-state.js";
import { stagesOf } from "../work/flow.js";
import { counted } from "../work/plural.js";
import { standing } from "../work/standing.js";
import { targetWords } from "../work/target-words.js";

/** @import { Snapshot } from "../book/snapshot.js" */
/** @import { KeySpec } from "../parts/deck.js" */
/** @import { Context, Shown } from "../types/context.d.ts" */
/** @import { Counts } from "../types/log.d.ts" */
/** @import { Folded, Sheet } from "../types/sheet.d.ts" */
/** @import { DemoJob } from "../types/wire.d.ts" */

/**
 * @typedef {object} About What is said of jobs besides their own.
 * @property {Map<string, Counts>} counts what of each has not reached the shop
 * @property {boolean} paired
 * @property {((job: Pick<Folded, "sheet" | "stages">) => string | null) | null} reminder
 */

/** From so many jobs on there is a search. */
const MANY = 7;

const SAID = {
  title: "Open",
  none: "No open jobs",
  lead: "Set ride height in as few teardowns as possible.",
  closed: "Handed over",
  find: "Find by car, owner or request",
  unnamed: "Car without a name",
  gone: "That job is not on this phone. Open its link, or pair with the shop that has it.",
  lost: "That address leads nowhere. Here are the jobs.",
  failed: (/** @type {string} */ why) => `${why} Your data is safe.`,
  reading: (/** @type {number} */ n, /** @type {number} */ of) => `Reading the records: ${n} of ${of} jobs`,
  nothing: (/** @type {string} */ words) => `No job on this phone has “${words}” in its car, owner or request.`,
  demos: "Try one from Slipway Garage",
};
/** Pages of a paired device, in the order of the bar of a PC. */
const PAGES = [
  ["Jobs table", "#/table"],
  ["Shop statistics", "#/shop"],
  ["Devices", "#/devices"],
  ["Import and export", "#/export"],
];

/** @param {Sheet} sheet */
const nameOf = ({ title, car_name: car, owner }) =>
  [title || car || SAID.unnamed, owner && !title.includes(owner) ? owner : ""].filter(Boolean).join(", ");

/**
 * A job that was looked up.
 * @param {Context} ctx
 * @param {string} job
 */
const lookedUp = (ctx, job) => /** @type {Snapshot} */ (ctx.log.peek(job));

/**
 * Six stages of a job as one strip.
 * @param {Folded} found
 */
function strip(found) {
  const stages = stagesOf(found);
  const now = stages.findIndex(({ state }) => state === "now");
  const at = now < 0 ? stages.length : now;
  const label = at < stages.length ? `Stage ${at + 1} of ${stages.length}: ${stages[at].name}` : "All stages done";
  return stageStrip(
    stages.map(({ name }) => name),
    at,
    label,
  );
}

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

/**
 * A job's card; `first` where it is the one to go on with.
 * @param {Context} ctx
 * @param {string} job
 * @param {About & { first?: boolean }} about
 */
function card(ctx, job, { counts, paired, reminder, first = false }) {
  const found = lookedUp(ctx, job);
  const { sheet } = found;
  const { words, next, done } = standing(found);
  const target = targetWords(sheet.target) || sheet.wish;
  const due = done && reminder ? reminder(found) : null;
  const node = plateCard(
    { href: ctx.href(next, job), form: first ? "in-work" : "", cls: "job" },
    h("strong", { text: nameOf(sheet) }),
    target ? h("span", { class: "target-words", text: target }) : null,
    done ? null : strip(found),
    h("b", { class: "stands", text: due ?? words }),
    unsynced(counts.get(job), paired),
  );
  node.dataset.job = job;
  return h("li", null, node);
}

/**
 * One of the demo jobs.
 * @param {Context} ctx
 * @param {DemoJob} demo
 */
function offer(ctx, { title, request }) {
  const [name, wish = ""] = title.split(": ");
  const [, owner = "", car = ""] = /^(?:(.+)'s )?(.+)$/.exec(name) ?? [];
  const open = async () => {
    const job = await ctx.begin(
      ctx.log.itemsOf(request, { title: [car, owner].filter(Boolean).join(", "), car, owner, wish }),
    );
    if (job) ctx.go({ words: ["plan"] }, { job });
  };
  const node = plateCard({ ontap: open }, h("strong", { text: name }), h("span", { text: wish }));
  return h("li", null, node);
}

/**
 * The jobs that were read, split: {known, open, closed}, each the one written to last first.
 * @param {Context} ctx
 * @param {string[]} list
 */
function sorted(ctx, list) {
  const last = (/** @type {string} */ job) =>
    lookedUp(ctx, job).entries.reduce((newest, { id }) => (id > newest ? id : newest), "");
  const at = new Map(list.filter(ctx.log.peek).map((job) => [job, last(job)]));
  const known = [...at.keys()].sort((a, b) => ((at.get(a) ?? "") < (at.get(b) ?? "") ? 1 : -1));
  const closed = (/** @type {string} */ job) => Boolean(lookedUp(ctx, job).sheet.closed);
  return { known, open: known.filter((job) => !closed(job)), closed: known.filter(closed) };
}

/**
 * How many were handed over, and how many of them are to be rechecked.
 * @param {Context} ctx
 * @param {string[]} over
 * @param {About} about
 */
function overWords(ctx, over, { reminder }) {
  const due = reminder ? over.filter((job) => reminder(lookedUp(ctx, job))).length : 0;
  return due ? counted(due, `${over.length}, {n} to recheck`, `${over.length}, {n} to recheck`) : String(over.length);
}

/**
 * The cards, those open before those handed over, as far as the search goes.
 * @param {Context} ctx
 * @param {string[]} list
 * @param {About} about
 * @param {string} search
 */
function shelf(ctx, list, about, search) {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const text = (/** @type {string} */ job) => {
    const { sheet } = lookedUp(ctx, job);
    return [sheet.title, sheet.car_name, sheet.owner, sheet.wish].join(" ").toLowerCase();
  };
  const fits = (/** @type {string} */ job) => words.every((word) => text(job).includes(word));
  const { known, open, closed } = sorted(ctx, list);
  const [now, over] = [open.filter(fits), closed.filter(fits)];
  const cards = (/** @type {string[]} */ some) =>
    h(
      "ul",
      { class: "cards" },
      some.map((job) => card(ctx, job, { ...about, first: job === open[0] })),
    );
  const whole = known.length === list.length;
  return [
    whole ? null : h("p", { class: "working", text: SAID.reading(known.length, list.length) }),
    now.length ? cards(now) : null,
    over.length
      ? fold(
          { title: SAID.closed, more: overWords(ctx, over, about), open: words.length > 0, id: "closed", level: "h2" },
          cards(over),
        )
      : null,
    list.length && !now.length && !over.length && whole && words.length ? h("p", { text: SAID.nothing(search) }) : null,
  ].filter((part) => part !== null);
}

/**
 * The keys under the thumb, from the job to go on with.
 * @param {Context} ctx
 * @param {string | null} job
 * @param {boolean} some whether there are jobs
 * @returns {{ quiet: KeySpec | null, main: KeySpec }}
 */
function deckOf(ctx, job, some) {
  const begin = { words: "New job", href: "#/new" };
  if (!job)
    return some ? { quiet: null, main: begin } : { quiet: { words: "Open a link", href: "#/open" }, main: begin };
  const found = lookedUp(ctx, job);
  const { next, place } = standing(found);
  const small = `${(found.sheet.car_name || nameOf(found.sheet)).split(/[ ,]/)[0]}, ${place}`;
  return { quiet: begin, main: { words: "Go on", small, href: ctx.href(next, job) } };
}

/**
 * The parts below the work: pages of the shop, the note of an address that may change, the demo jobs.
 * @param {Context} ctx
 */
function below(ctx) {
  const pages = h(
    "nav",
    { class: "pages", "aria-label": "Pages of the shop", hidden: true },
    PAGES.map(([label, href]) => h("a", { class: "key", href }, label)),
  );
  const moving = h("div");
  const offered = h("section", { class: "demos", hidden: true });
  ctx.device
    .access()
    .then(async (held) => {
      pages.hidden = !held;
      if (!held) return;
      const { moveNote } = await import("../parts/shop/move-address.js");
      const note = await moveNote(ctx, { once: true });
      if (note) moving.append(note);
    })
    .catch(() => {});
  ctx.shop.demos().then((found) => {
    if (!found?.length) return;
    offered.hidden = false;
    offered.append(
      h("h2", { text: SAID.demos }),
      h(
        "ul",
        { class: "cards" },
        found.map((demo) => offer(ctx, demo)),
      ),
    );
  });
  return { pages, moving, offered };
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
  const much = list.reduce((sum, job) => sum + (ctx.log.peek(job)?.sheet.conflicts.length ?? 0), open.size);
  way.hidden = !much;
  way.textContent = counted(much, "{n} conflict to resolve", "{n} conflicts to resolve");
}

/**
 * The screen.
 * @param {Context} ctx
 * @returns {Shown}
 */
export function jobsScreen(ctx) {
  const lead = h("p", { class: "how", hidden: true, text: SAID.lead });
  const mine = h("div", { class: "mine" });
  const { input, node: search } = finder();
  const resolve = h("a", { class: "key unsettled", href: "#/desk", hidden: true });
  // Asked once there is something to keep; a browser that promises is not mentioned.
  const promise = h("p", { class: "promise", hidden: true });
  const { pages, moving, offered } = below(ctx);
  // Below the jobs: not shown before these are, so that nothing jumps under a finger.
  const foot = h(
    "div",
    { class: "foot-of-jobs", hidden: true },
    h("div", { class: "small-print" }, shopLine(ctx), promise),
    pages,
    moving,
    offered,
  );
  const screen = shell({
    title: SAID.title,
    body: [
      h(
        "div",
        { class: "home" },
        ctx.query.gone ? h("p", { class: "refused", role: "alert", text: SAID.gone }) : null,
        ctx.query.lost ? h("p", { class: "refused", role: "alert", text: SAID.lost }) : null,
        lead,
        resolve,
        search,
        mine,
        foot,
      ),
    ],
    quiet: { words: "New job", href: "#/new" },
  });
  /** @type {string[]} */
  let list = [];
  /** @type {About} */
  let about = { counts: new Map(), paired: false, reminder: null };
  /** @type {Promise<void> | null} */
  let once = null;
  const asked = async () => {
    const { kept, text } = await ctx.device.askToKeep();
    promise.hidden = kept === true;
    promise.textContent = text;
  };
  const show = () => {
    mine.replaceChildren(...shelf(ctx, list, about, input.value));
    const { known, open } = sorted(ctx, list);
    const whole = known.length === list.length;
    if (open.length || whole) screen.deck.show(deckOf(ctx, open[0] ?? null, list.length > 0));
    screen.title.textContent = open.length || !whole ? SAID.title : SAID.none;
    lead.hidden = list.length > 0;
    foot.hidden = false;
  };
  const draw = async () => {
    let held;
    const [jobs, counts] = await Promise.all([ctx.log.jobs(), ctx.log.countsByJob()]);
    [list, held] = [jobs, await ctx.device.access()];
    about = { ...about, counts, paired: Boolean(held) };
    search.hidden = list.length < MANY;
    if (list.length) once ??= asked().catch(() => {});
    show();
    await ctx.log.lookAll(list, show);
    // What reminds of a recheck comes where a car was handed over.
    if (sorted(ctx, list).closed.length) about.reminder ??= (await import("../work/recheck.js")).reminder;
    show();
    await toResolve(ctx, list, resolve);
  };
  const told = (/** @type {{ detail?: string, message: string }} */ error) => {
    mine.replaceChildren(h("p", { class: "refused", role: "alert", text: SAID.failed(error.detail ?? error.message) }));
    foot.hidden = false;
  };
  draw().catch(told);
  input.addEventListener("input", () => {
    show();
    say(counted(mine.querySelectorAll(".job").length, "{n} job found", "{n} jobs found"));
  });
  ctx.whileShown(ctx.log.listen((message) => ["entries", "marks"].includes(message.what) && draw().catch(told)));
  return { title: "Bothends", node: screen.node };
}
