/* The desk: entries of all jobs that disagree, side by side, each settled by a person with an entry, and taken back
   the same way.

   Owns which questions are on the screen and what a choice writes. A question that was settled here stays in its
   place, with its undo, until the screen is left. Readings that the model doubts are not here: the plan asks about
   them. */

import { h, say } from "../../parts/dom.js";
import { unsureBlock } from "../../parts/unsure.js";
import { SameCars } from "../../parts/shop/same-car.js";
import { notAllWords } from "../../parts/not-all.js";
import { lackNote } from "../../parts/shop/lack.js";
import { useStyle } from "../../parts/style.js";
import { nameWriters } from "../../parts/writers.js";
import { titleOf } from "../../work/again.js";
import { moment } from "../../work/conflicts.js";
import { counted } from "../../work/plural.js";
import { writerWords } from "../../work/writer.js";
import { card } from "./desk-question.js";
import { choicesOf, contentsOf, keptWords, usedWords } from "./desk-words.js";
import { named } from "../../work/this-device.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { Entry } from "../../types/log.d.ts" */
/** @import { SettleRow } from "../../types/sheet.d.ts" */
/** @import { Choice, Question } from "./desk-words.js" */

/** A job with its questions. @typedef {{ job: string, all: any, open: any[] }} OfJob */

const LAST = 1e6;
const NEWS_MS = 500;
const SAID = {
  title: "Conflicts",
  lead: "Devices saved different values. Choose one; both stay in the history. You can undo your choice.",
  key: "L, R: teeth at the inner, then the outer end. ↓ arm down (raises), ↑ arm up (lowers).",
  loading: "Loading…",
  allJobs: "All jobs",
  noName: "Car without a name",
  staysRemoved: "Resolved: it stays removed.",
  used: (/** @type {string} */ kept) => `Resolved: ${kept} is used.`,
  dismissed: "Dismissed. Both stay in the history.",
  openAgain: "The conflict is open again",
  before: (/** @type {number} */ n) => `Resolved before: ${n}`,
  kept: (/** @type {string} */ what, /** @type {string} */ who, /** @type {string} */ when) =>
    `Kept ${what}; ${who}, ${when}`,
  ask: "Ask again",
  askSpoken: (/** @type {string} */ what) => `Ask again: ${what}`,
  openJob: "Open the job",
  openSpoken: (/** @type {string} */ name) => `Open the job: ${name}`,
  none: "No conflicts here.",
  noneAtAll: "No conflicts.",
  count: (/** @type {number} */ n) => counted(n, "{n} conflict to resolve.", "{n} conflicts to resolve."),
  get here() {
    return named("Below: the conflicts on {here}.");
  },
  away: (/** @type {string} */ cars) => named(`At the shop, not on {here} yet: ${cars}.`),
  sync: "Sync now",
  failed: (/** @type {string} */ why) => `${why} Your data is safe.`,
};

/** @param {string} job @param {Pick<Question, "conflict" | "dispute">} question */
const keyOf = (job, { conflict, dispute }) =>
  `${job} ${conflict ? [conflict.field, ...[...conflict.entries].sort()].join(" ") : `id ${dispute.id}`}`;

/** @param {any} all */
const nameOfJob = ({ sheet }) => titleOf({ car: sheet.car_name || sheet.title || SAID.noName, owner: sheet.owner });

/** The entry of an id in a job. @param {any} all @returns {(id: string) => Entry | undefined} */
const entryIn = (all) => (id) => all.entries.find((/** @type {Entry} */ entry) => entry.id === id);

/** @param {{ [key: string]: number }} rank @param {string} key */
const placed = (rank, key) => rank[key] ?? LAST;
/** @param {string[]} order @returns {{ [key: string]: number }} */
const ranked = (order) => Object.fromEntries(order.map((key, i) => [key, i]));

class Desk {
  /** @param {Context} ctx */
  constructor(ctx) {
    this.ctx = ctx;
    this.asked = ctx.query.job ?? "";
    this.place = h("div", { class: "mine" }, h("p", { class: "working", role: "status", text: SAID.loading }));
    this.note = h("div");
    this.same = new SameCars(ctx, { folded: false });
    /** @type {Question[]} */
    this.questions = [];
    /** @type {OfJob[]} */
    this.jobs = [];
    /** @type {(device: string) => string} */
    this.nameOf = (device) => device;
    this.turn = 0;
    this.busy = false;
  }

  /** Run something that keeps; says above the page where it was not kept.
   * @param {() => Promise<any>} work */
  async keeping(work) {
    if (this.busy) return null;
    this.busy = true;
    try {
      const out = await work();
      this.ctx.sayKept("");
      return out ?? true;
    } catch (error) {
      const { name, message } = /** @type {Error} */ (error);
      if (name !== "NotKept") throw error;
      this.ctx.sayKept(message);
      return null;
    } finally {
      this.busy = false;
    }
  }

  /** Where a question stands in the page.
   * @param {Question} question @param {string} part @returns {HTMLElement | null} */
  find(question, part) {
    return this.place.querySelector(`[data-key="${CSS.escape(question.key)}"] ${part}`);
  }

  /** @param {Question} question @param {() => Promise<any>} work @param {string} words */
  async write(question, work, words) {
    const done = await this.keeping(work);
    if (!done) return;
    question.done = { ...done, words };
    await this.load();
    say(words);
    this.find(question, ".undo")?.focus();
  }

  /** Settle a question by a choice. @param {Question} question @param {Choice} choice */
  pick(question, choice) {
    const { ctx } = this;
    const { dispute, job } = question;
    const words = choice.entry.kind === "strike" ? SAID.staysRemoved : SAID.used(usedWords(choice, question.all.sheet));
    const work = dispute
      ? async () => ({ dispute: await ctx.files.settleDispute(dispute, choice.entry) })
      : async () => ({ made: await ctx.log.append(job, choice.items) });
    return this.write(question, work, words);
  }

  /** Put a question aside that needs no choice. @param {Question} question */
  aside(question) {
    const { dispute } = question;
    const work = async () => ({
      dispute: await this.ctx.files.settleDispute(dispute, dispute.mine, { wrote: false }),
    });
    return this.write(question, work, SAID.dismissed);
  }

  /** Open a question again that was settled here. @param {Question} question */
  async undo(question) {
    const { dispute, made } = /** @type {any} */ (question.done);
    const strikes = () =>
      this.ctx.log.append(
        question.job,
        made.map((/** @type {Entry} */ { id }) => ["strike", { entry: id }]),
      );
    const undone = await this.keeping(() => (dispute ? this.ctx.files.reopenDispute(dispute) : strikes()));
    if (!undone) return;
    question.done = null;
    await this.load();
    say(SAID.openAgain);
    (this.find(question, ".keep") ?? this.place.querySelector("button"))?.focus();
  }

  /** One settlement of a job with its undo. @param {OfJob} of @param {SettleRow} row */
  beforeRow({ job, all }, row) {
    const what = keptWords(entryIn(all)(row.keeps), all.sheet);
    const back = async () => {
      const strike = () => this.ctx.log.append(job, [["strike", { entry: row.id }]]);
      if (await this.keeping(strike)) await this.load();
    };
    return h(
      "li",
      { class: "before-row" },
      h("span", { text: SAID.kept(what, writerWords(row, this.nameOf), moment(row)) }),
      h("button", { type: "button", class: "key small", onclick: back, "aria-label": SAID.askSpoken(what) }, SAID.ask),
    );
  }

  /** Settlements that hold in a job, each with its undo. @param {OfJob} of */
  before(of) {
    const made = this.questions.flatMap(({ done }) => done?.made ?? []);
    const rows = (of.all.sheet.settlements ?? []).filter(
      (/** @type {SettleRow} */ { id }) => !made.some((/** @type {Entry} */ entry) => entry.id === id),
    );
    if (!rows.length) return null;
    return h(
      "details",
      null,
      h("summary", { text: SAID.before(rows.length) }),
      h(
        "ul",
        null,
        rows.map((/** @type {SettleRow} */ row) => this.beforeRow(of, row)),
      ),
    );
  }

  /** A job with its questions; what fills them in is added to `works`.
   * @param {OfJob} of @param {(() => Promise<void>)[]} works */
  section(of, works) {
    const name = nameOfJob(of.all);
    const cards = this.questions
      .filter((question) => question.job === of.job)
      .map((question) => {
        question.id = `q-${this.questions.indexOf(question)}`;
        const { node, work } = card(this.ctx, question, this);
        node.dataset.key = question.key;
        works.push(...work);
        return node;
      });
    const href = this.ctx.href({ words: ["list"] }, of.job);
    const unsure = this.unsure(of);
    return h(
      "section",
      { class: "of-job" },
      h(
        "div",
        { class: "job-head" },
        h("h2", { text: name }),
        h("a", { class: "key small", href, "aria-label": SAID.openSpoken(name) }, SAID.openJob),
      ),
      cards.length || unsure ? null : h("p", { text: SAID.none }),
      cards.length ? h("ul", null, cards) : null,
      unsure,
      this.before(of),
    );
  }

  /** Readings of a job that may not fit what was chosen. @param {OfJob} of */
  unsure({ job, all }) {
    const write = async (/** @type {any[]} */ items, /** @type {string} */ words) => {
      if (!(await this.keeping(() => this.ctx.log.append(job, items)))) return;
      await this.load();
      say(words);
    };
    return unsureBlock(this.ctx, { job, sheet: all.sheet, write });
  }

  async draw() {
    const mine = (this.turn += 1);
    /** @type {(() => Promise<void>)[]} */
    const works = [];
    const unsure = this.jobs.reduce((sum, { all }) => sum + all.sheet.unsure.length, 0);
    const open = this.questions.filter(({ done }) => !done).length + unsure;
    this.place.replaceChildren(
      h("p", { class: "count", role: "status", text: open ? SAID.count(open) : SAID.noneAtAll }),
      ...this.jobs.map((job) => this.section(job, works)),
    );
    nameWriters(this.ctx, this.place).catch(() => {});
    // One after the other: the model works on one at a time, and who leaves stops it.
    for (const work of works) if (mine === this.turn) await work();
  }

  /** Questions of a job as they stand. @param {OfJob} of @returns {Question[]} */
  questionsOf({ job, all, open }) {
    const conflicts = all.sheet.conflicts.map((/** @type {any} */ conflict) => ({
      conflict,
      choices: choicesOf(conflict, entryIn(all)),
    }));
    const disputes = open.map((dispute) => ({ dispute, choices: contentsOf(this.ctx, dispute) }));
    return [...conflicts, ...disputes].map((one) => ({
      ...one,
      job,
      all,
      key: keyOf(job, one),
      id: "",
      done: null,
    }));
  }

  /** What is above the questions: why the shop's are missing, and which have not come here.
   * @param {any} found @param {string} lacks what the list lacks, in words */
  notes({ lack, away }, lacks) {
    const cars = away.map((/** @type {any} */ { car, title, owner }) => titleOf({ car: car || title, owner }));
    const sync = async () => {
      await this.ctx.shop.syncNow();
      // A device that holds some of the shop's jobs gets the others by name.
      for (const { job } of away) await this.ctx.shop.fetchJob(job);
      await this.load();
    };
    this.note.replaceChildren(
      ...(lack && lack.code !== "no-shop"
        ? [lackNote(lack, `${SAID.here} ${lacks}`.trim(), () => this.load())]
        : lacks
          ? [h("p", { class: "working", role: "status", text: lacks })]
          : []),
      ...(this.asked || !cars.length
        ? []
        : [
            h(
              "div",
              { class: "refused lack" },
              h("p", { text: SAID.away(cars.join("; ")) }),
              h("button", { type: "button", class: "key", onclick: sync }, SAID.sync),
            ),
          ]),
    );
  }

  async load() {
    const { ctx, asked } = this;
    const mine = (this.turn += 1);
    if (!asked) this.same.load().catch(() => {});
    const found = await ctx.pc.unsettled(asked);
    const lacks = await notAllWords(ctx, found).catch(() => "");
    if (mine !== this.turn) return;
    const here = /** @type {OfJob[]} */ (found.here).filter(({ job }) => !asked || job === asked);
    const fresh = here.flatMap((one) => this.questionsOf(one));
    const kept = this.questions.filter((question) => question.done && !fresh.some(({ key }) => key === question.key));
    const rank = ranked(this.questions.map(({ key }) => key));
    this.questions = [...fresh, ...kept].sort((a, b) => placed(rank, a.key) - placed(rank, b.key));
    const shown = new Map(here.map((one) => [one.job, one]));
    for (const { job } of kept) if (!shown.has(job)) shown.set(job, { job, all: await ctx.log.look(job), open: [] });
    const order = ranked(this.jobs.map(({ job }) => job));
    this.jobs = [...shown.values()].sort((a, b) => placed(order, a.job) - placed(order, b.job));
    this.notes(found, lacks);
    this.draw().catch((error) => this.failed(error));
  }

  /** @param {any} error */
  failed(error) {
    const text = SAID.failed(error.detail ?? error.message);
    this.place.replaceChildren(h("p", { class: "refused", role: "alert", text }));
  }

  /** Ask again when other devices wrote; until the screen is left. */
  listen() {
    let news = 0;
    const heard = (/** @type {any} */ message, /** @type {boolean} */ elsewhere) => {
      // What was done here is drawn already, with the focus on its undo.
      if (message.what !== "entries" || !(elsewhere || message.came !== "here")) return;
      clearTimeout(news);
      news = setTimeout(() => this.load().catch((error) => this.failed(error)), NEWS_MS);
    };
    this.ctx.whileShown(this.ctx.log.listen(heard));
    this.ctx.whileShown(() => {
      this.turn += 1;
      clearTimeout(news);
    });
  }
}

/** The screen.
 * @param {Context} ctx @returns {Shown} */
export function desk(ctx) {
  useStyle("desk");
  const page = new Desk(ctx);
  page.listen();
  ctx.pc
    .writers()
    .then((names) => {
      page.nameOf = names;
      return page.load();
    })
    .catch((error) => page.failed(error));
  const back = h("div", { class: "keys" }, h("a", { class: "key small", href: "#/desk" }, SAID.allJobs));
  return {
    title: SAID.title,
    fresh() {},
    node: h(
      "div",
      { class: "desk" },
      h("h1", { text: SAID.title }),
      h("p", { class: "where", text: SAID.lead }),
      h("p", { class: "where", text: SAID.key }),
      page.asked ? back : null,
      page.note,
      page.place,
      page.same.node,
    ),
  };
}
